"""Calls of C functions by address from compiled code.

pymunk's step and its batched reading and writing are C functions. Called through Python they cost six times
what they cost themselves, and they are called three times a step; so the compiled loop calls them by address.
"""

from __future__ import annotations

from typing import Any

from llvmlite import ir
from numba import types
from numba.extending import intrinsic

_WORD = ir.IntType(64)


def _call(builder: Any, address: Any, args: Any, arg_types: list[Any]) -> None:
    function = ir.FunctionType(ir.VoidType(), arg_types)
    builder.call(builder.inttoptr(address, function.as_pointer()), args)


def _call_step(typing: Any, function: Any, space: Any, dt: Any) -> Any:
    """void f(void *space, double dt)"""

    def code(context: Any, builder: Any, signature: Any, args: Any) -> Any:
        _call(builder, args[0], [args[1], args[2]], [_WORD, ir.DoubleType()])
        return context.get_dummy_value()

    return types.void(types.uintp, types.uintp, types.float64), code


def _call_each(typing: Any, function: Any, space: Any, visit: Any, data: Any) -> Any:
    """void f(void *space, void (*visit)(), void *data)"""

    def code(context: Any, builder: Any, signature: Any, args: Any) -> Any:
        _call(builder, args[0], [args[1], args[2], args[3]], [_WORD] * 3)
        return context.get_dummy_value()

    return types.void(types.uintp, types.uintp, types.uintp, types.uintp), code


def _set_int(typing: Any, address: Any, value: Any) -> Any:
    """*(int *)address = value"""

    def code(context: Any, builder: Any, signature: Any, args: Any) -> Any:
        builder.store(args[1], builder.inttoptr(args[0], ir.IntType(32).as_pointer()))
        return context.get_dummy_value()

    return types.void(types.uintp, types.int32), code


# The first argument of the functions above is numba's own; callers do not give it.
call_step: Any = intrinsic(_call_step)
call_each: Any = intrinsic(_call_each)
set_int: Any = intrinsic(_set_int)
