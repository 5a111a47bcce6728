"""What the command line calls the arguments of the library."""

from __future__ import annotations

from dataclasses import replace

from trundle.errors import InputError, Problem, TrundleError, told

_OPTION = {
    "figure": "--for",
    "folder": "--out",
    "limits": "--limit",
    "runs": "--samples",
    "ratios": "--ratio",
    "speed_m_s": "--speed",
    "speeds_m_s": "--speed",
    "tolerances": "--tolerance",
}
"""Where it is not the argument's own name after two dashes."""


def option_of(argument: str) -> str:
    """`--dt-ms` of dt_ms."""
    return _OPTION.get(argument) or f"--{argument.replace('_', '-')}"


def as_typed(error: TrundleError) -> str:
    """The error's message, with options in the place of arguments."""
    if not isinstance(error, InputError):
        return str(error)
    return told([_as_typed(p) for p in error.problems], error.more)


def _as_typed(problem: Problem) -> Problem:
    return replace(problem, argument=option_of(problem.argument)) if problem.argument else problem
