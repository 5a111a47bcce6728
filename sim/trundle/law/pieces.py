"""How a piece of the law that only kernels call is compiled: to be linked, not to be run.

numba makes machine code of every function that it compiles, though a kernel takes what it calls as intermediate code
and makes machine code of the whole. Of a hundred pieces that is a third of the time that all the compiling takes. This
pipeline, numba's own but for one pass, leaves it out.
"""

from __future__ import annotations

from typing import Any

from numba.core.codegen import JITCodeLibrary
from numba.core.compiler import CompilerBase, DefaultPassBuilder
from numba.core.compiler_machinery import LoweringPass, PassManager, register_pass
from numba.core.typed_passes import NativeLowering

for _name in (
    "_optimize_functions", "_optimize_final_module", "_finalize_final_module", "_finalize_dynamic_globals",
    "_verify_declare_only_symbols", "_ensure_finalized", "get_pointer_to_function", "enable_object_caching",
):  # fmt: skip
    getattr(JITCodeLibrary, _name)  # a numba built otherwise: AttributeError here, and pieces are compiled as it does


class _Nowhere:
    """A code generator of which a piece has no address to set."""

    def __init__(self, codegen: Any) -> None:
        self._codegen = codegen

    def __getattr__(self, name: str) -> Any:
        return getattr(self._codegen, name)

    def set_env(self, env_name: str, env: Any) -> None:
        """A piece that is never called from Python needs no environment."""


class _Piece(JITCodeLibrary):
    """A library that is only linked into others: it is never handed to the engine that makes machine code."""

    @property
    def codegen(self) -> Any:
        """The code generator, but that it sets nothing in memory."""
        return _Nowhere(self._codegen)

    def _optimize_functions(self, ll_module: Any) -> None:
        """Left to the kernel that it ends up in."""
        ll_module.data_layout = self._codegen._data_layout

    def _optimize_final_module(self) -> None:
        """Left to the kernel that it ends up in."""

    def _finalize_final_module(self) -> None:
        self._finalize_dynamic_globals()
        self._verify_declare_only_symbols()
        self._finalized = True

    def get_pointer_to_function(self, name: str) -> int:
        """None: there is nothing to call."""
        self._ensure_finalized()
        return 0

    def enable_object_caching(self) -> None:
        """There is no object code to keep."""


@register_pass(mutates_CFG=False, analysis_only=False)
class _IntoPiece(LoweringPass):
    """Sets the library that the lowering puts its code into."""

    _name = "trundle_into_piece"

    def __init__(self) -> None:
        LoweringPass.__init__(self)

    def run_pass(self, state: Any) -> bool:
        codegen = state.targetctx.codegen()
        state.library = _Piece(codegen, state.func_id.func_qualname)
        return True


class PieceCompiler(CompilerBase):
    """numba's pipeline with its code put into a _Piece."""

    def define_pipelines(self) -> list[PassManager]:
        """The one pipeline."""
        passes = DefaultPassBuilder.define_nopython_pipeline(self.state)
        where = [pass_class for pass_class, _ in passes.passes].index(NativeLowering)
        passes.passes.insert(where, (_IntoPiece, "keep it as a piece"))
        passes.finalize()
        return [passes]
