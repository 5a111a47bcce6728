"""The door to pymunk's C functions: called by address from compiled code.

pymunk's step and its batched reading and writing are C functions. Called through Python they cost six times
what they cost themselves, and they are called three times a step; so the compiled loop calls them by address. What is
behind the door is a CALLS record, which trundle.engine.space fills; the functions below use it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, cast

from llvmlite import ir
from numba import types
from numba.extending import intrinsic

from trundle.law.compile import inner
from trundle.model.arrays import record

CALLS = record(
    ("space", "u8"),  # cpSpace *
    ("each", "u8"),  # void each(space, visit, data)
    ("get_visit", "u8"),  # the visitors of pymunk.batch, and their data
    ("get_data", "u8"),
    ("get_count", "u8"),  # int *, how full the buffer is
    ("set_visit", "u8"),
    ("set_data", "u8"),
    ("set_count", "u8"),
    ("step", "u8"),  # void step(space, dt)
)
"""Addresses, good while the space lives that they are from."""

_WORD = ir.IntType(64)


def _call(builder: Any, address: Any, args: Any, arg_types: list[Any]) -> None:
    function = ir.FunctionType(ir.VoidType(), arg_types)
    builder.call(builder.inttoptr(address, function.as_pointer()), args)


def _call_step(typing: Any, function: Any, space: Any, dt: Any) -> Any:
    """void f(void *space, double dt)"""

    def code(context: Any, builder: Any, signature: Any, args: Any) -> Any:
        _call(builder, args[0], [args[1], args[2]], [_WORD, ir.DoubleType()])
        return context.get_dummy_value()

    return types.void(types.uint64, types.uint64, types.float64), code


def _call_each(typing: Any, function: Any, space: Any, visit: Any, data: Any) -> Any:
    """void f(void *space, void (*visit)(), void *data)"""

    def code(context: Any, builder: Any, signature: Any, args: Any) -> Any:
        _call(builder, args[0], [args[1], args[2], args[3]], [_WORD] * 3)
        return context.get_dummy_value()

    return types.void(types.uint64, types.uint64, types.uint64, types.uint64), code


def _set_int(typing: Any, address: Any, value: Any) -> Any:
    """*(int *)address = value"""

    def code(context: Any, builder: Any, signature: Any, args: Any) -> Any:
        builder.store(args[1], builder.inttoptr(args[0], ir.IntType(32).as_pointer()))
        return context.get_dummy_value()

    return types.void(types.uint64, types.int32), code


# The first argument of the functions above is numba's own; callers do not give it, though its types say so.
_step = cast("Callable[[Any, Any, Any], None]", intrinsic(_call_step))
_each = cast("Callable[[Any, Any, Any, Any], None]", intrinsic(_call_each))
_set = cast("Callable[[Any, int], None]", intrinsic(_set_int))


@inner
def read_bodies(calls):
    """Place and velocity of every body into the State's rows."""
    _set(calls.get_count, 0)
    _each(calls.each, calls.space, calls.get_visit, calls.get_data)


@inner
def write_forces(calls):
    """The forces worked out to every body."""
    _set(calls.set_count, 0)
    _each(calls.each, calls.space, calls.set_visit, calls.set_data)


@inner
def move_bodies(calls, dt):
    """One step of pymunk: positions with the old velocities, then velocities with the forces."""
    _step(calls.step, calls.space, dt)
