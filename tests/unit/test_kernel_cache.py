"""The compiled kernels' cache: its key changes with every module they are compiled from, and with no other."""

from __future__ import annotations

import ast
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from types import CodeType, FunctionType, ModuleType
from typing import Any

import pytest

from trundle.engine import loop, standing
from trundle.law.compile import CALLED, PLAIN, STEP_LOOP
from trundle.law.sources import PACKAGE, fingerprint, scanned, sources_of


def key_of(package: Path) -> str:
    """Of the step loop in a copy of the package, as a process finds it that starts now."""
    scanned.cache_clear()
    loop_file = package / STEP_LOOP.relative_to(PACKAGE)
    return fingerprint(sources_of(loop_file, package), package)


def names_in(code: CodeType) -> set[str]:
    """All global names and attributes that a function's code mentions, inner functions included."""
    found = set(code.co_names)
    for constant in code.co_consts:
        if isinstance(constant, CodeType):
            found |= names_in(constant)
    return found


def functions_below(start: Any) -> Iterator[FunctionType]:
    """The Python functions that numba compiles with this one, itself included, found from the live objects."""
    seen: set[int] = set()
    left = [start]
    while left:
        function = left.pop()
        function = getattr(function, "py_func", function)
        if not isinstance(function, FunctionType) or id(function) in seen:
            continue
        if not function.__module__.startswith("trundle."):
            continue
        seen.add(id(function))
        yield function
        names = names_in(function.__code__)
        for name in names & function.__globals__.keys():
            value = function.__globals__[name]
            # Of a module, what is taken out of it.
            left += [vars(value)[n] for n in names & vars(value).keys()] if isinstance(value, ModuleType) else [value]


def homes_of_constants(function: FunctionType) -> Iterator[Path]:
    """Files that the function's own module imports the names from that its code mentions (read by Python's parser)."""
    file = Path(function.__code__.co_filename)
    for node in ast.parse(file.read_text(encoding="utf-8")).body:
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("trundle."):
            home = PACKAGE.parent.joinpath(*str(node.module).split(".")).with_suffix(".py")
            called = {a.asname or a.name for a in node.names}
            if home.is_file() and called & names_in(function.__code__):
                yield home


@pytest.fixture(scope="module")
def compiled_from() -> set[Path]:
    """Every file that the step loop is truly compiled from; found from the live objects, not by the key's rule."""
    files: set[Path] = set()
    for function in functions_below(loop.begin_step if PLAIN else loop.advance):
        files.add(Path(function.__code__.co_filename).resolve())
        files |= set(homes_of_constants(function))
    return files


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """The package in another place."""
    target = tmp_path / PACKAGE.name
    shutil.copytree(PACKAGE, target, ignore=shutil.ignore_patterns("__pycache__", "_scenarios"))
    return target


def test_an_edit_of_any_module_that_is_compiled_changes_the_key(compiled_from: set[Path], copy: Path) -> None:
    """Each in turn; the law alone is a dozen of them."""
    assert len(compiled_from) > 10
    assert compiled_from | {PACKAGE / "model" / "arrays.py"} <= sources_of(STEP_LOOP)
    keys = {key_of(copy)}
    for file in sorted(compiled_from):
        at = copy / file.relative_to(PACKAGE)
        at.write_text(at.read_text(encoding="utf-8") + "\nNEW = 1\n", encoding="utf-8")
        before = len(keys)
        keys.add(key_of(copy))
        assert len(keys) == before + 1, f"the key does not see {file.name}"


def test_an_edit_of_what_no_kernel_uses_leaves_the_key(copy: Path) -> None:
    """Commands, reports, papers, studies, and the reading of files."""
    before = key_of(copy)
    for room in ("cli", "report", "papers", "study", "result", "findings", "spec", "terrain"):
        for file in (copy / room).glob("*.py"):
            file.write_text(file.read_text(encoding="utf-8") + "\nNEW = 1\n", encoding="utf-8")
    assert key_of(copy) == before


def test_a_function_moved_to_a_new_file_takes_the_key_along(tmp_path: Path) -> None:
    """However the file is imported: by name, over lines, as a module, inside a function, by a chain of files."""
    package = tmp_path / "trundle"
    (package / "law").mkdir(parents=True)
    for name in ("one", "two", "three", "four", "five", "types", "told"):
        (package / "law" / f"{name}.py").write_text("A = 1\n")
    (package / "law" / "four.py").write_text("import trundle.law.five as far\n")
    start = package / "law" / "start.py"
    start.write_text(
        "from typing import TYPE_CHECKING\n"
        "from trundle.law.one import (  # closed later :)\n    A,\n    B,\n)\n"
        "from trundle.law import two as _two\n"
        "if TYPE_CHECKING:\n    from trundle.law.types import A\n\n"
        "# from trundle.law.told import A\n"
        "def f():\n    from trundle.law.three import A\n    import trundle.law.four\n"
    )
    assert {f.stem for f in sources_of(start, package)} == {"start", "one", "two", "three", "four", "five"}


def test_no_import_is_relative() -> None:
    """The key's rule does not look for those."""
    for file in PACKAGE.rglob("*.py"):
        tree = ast.parse(file.read_text(encoding="utf-8"))
        assert not [n for n in ast.walk(tree) if isinstance(n, ast.ImportFrom) and n.level], file


COUNT = """
import sys
from trundle.cli.main import main
for args in (["run", "teasel", "kerb-50", "--out", sys.argv[1]], ["sheet", "teasel"], ["sheet", "barrow"]):
    try:
        main(args)
    except SystemExit as e:
        assert not e.code, e.code
    from numba.core.registry import CPUDispatcher
    kernels = {
        id(value): value for name, module in list(sys.modules.items()) if name.startswith("trundle.")
        for value in vars(module).values()
        if isinstance(value, CPUDispatcher) and not value.targetoptions.get("no_cpython_wrapper")
    }
    used = {f"{k.py_func.__module__}.{k.__name__}": len(k.signatures) for k in kernels.values() if k.signatures}
    print("USED", used)
"""


@pytest.mark.skipif(PLAIN, reason="nothing is compiled")
def test_a_run_and_a_sheet_call_each_kernel_by_one_signature(tmp_path: Path) -> None:
    """Those that Python calls. A second one (an array read-only here and not there) would compile all below twice."""
    done = subprocess.run(
        [sys.executable, "-c", COUNT, str(tmp_path / "run")], capture_output=True, text=True, check=True
    )  # fmt: skip
    run, _, used = (ast.literal_eval(line[5:]) for line in done.stdout.splitlines() if line.startswith("USED "))
    # The files of these are what "is it compiled?" looks at.
    called = {".".join([*file.relative_to(PACKAGE.parent).with_suffix("").parts, name]) for file, name in CALLED}
    assert set(run) == called
    assert len(used) >= 2
    assert {name: n for name, n in used.items() if n != 1} == {}


def test_each_file_with_kernels_has_a_key_of_its_own() -> None:
    """Of its own sources: an edit of one file does not compile anew what does not use it."""
    reached = {Path(f.__code__.co_filename).resolve() for f in functions_below(loop.advance)}
    assert Path(standing.__file__).resolve() not in reached
    assert len({fingerprint(sources_of(f)) for f in reached}) > 3


BLAS = """
import sys
from trundle.cli.main import main
try:
    main(["sheet", "barrow"])
except SystemExit as e:
    assert not e.code, e.code
loaded = sorted(m for m in sys.modules if m.startswith(("scipy.linalg", "scipy.optimize", "matplotlib", "pycparser")))
import cffi
import scipy.linalg
print("LOADED", loaded, bool(cffi.FFI() and scipy.linalg.cython_blas))
"""


@pytest.mark.skipif(PLAIN, reason="nothing is compiled")
def test_a_command_loads_no_library_that_it_does_not_use() -> None:
    """Neither scipy nor cffi, which numba looks for, nor matplotlib; what is left out is there for whoever wants it."""
    done = subprocess.run([sys.executable, "-c", BLAS], capture_output=True, text=True, check=True)
    assert done.stdout.rsplit("LOADED ", 1)[1].strip() == "[] True"
