"""What can go wrong with the builder's input, said in one line each.

TrundleError
  InputError      a file, option or argument is wrong (a ValueError, too): exit code 2
  ComputerError   the computer does not do it: a file cannot be read or written, no room (an InputError, too)
  StandingError   the vehicle cannot stand on its springs (an InputError: the numbers are wrong)
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace


@dataclass(frozen=True)
class Problem:
    """One thing that is wrong, where it is, and what would be right."""

    problem: str
    field: str = ""
    allowed: str = ""
    file: str = ""
    line: int = 0
    argument: str = ""
    """In place of `field`: the argument of a call that is wrong, by its name in Python."""

    def __str__(self) -> str:
        where = f"{self.file}:{self.line}" if self.file and self.line else self.file
        parts = [p for p in (where, self.argument or self.field, self.problem) if p]
        text = ": ".join(parts)
        return plain(f"{text} (allowed: {self.allowed})" if self.allowed else text)


class TrundleError(Exception):
    """Anything Trundle reports by message instead of traceback."""

    exit_code = 2
    """Of a command that ends by it."""


class InputError(TrundleError, ValueError):
    """The builder's input cannot be used. Carries every problem found, not just the first."""

    def __init__(self, problems: Problem | Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = (problems,) if isinstance(problems, Problem) else tuple(problems)
        super().__init__("\n".join(str(p) for p in self.problems))

    def at(self, file: str, line: int = 0) -> InputError:
        """The same problems, each told which file (and line) it came from unless it knows already."""
        return type(self)(
            replace(p, file=p.file or file, line=p.line or (line if not p.file else 0)) for p in self.problems
        )


class ComputerError(InputError):
    """The computer refused, not what the builder wrote: the same input may well do another time, or elsewhere."""


class StandingError(InputError):
    """No standing position exists: the springs cannot carry the hull, or nothing touches the ground."""


def plain(text: str) -> str:
    """`text` on one line and without characters that would steer a terminal: files of others are quoted in messages."""
    return "".join(c if c.isprintable() else " " if c.isspace() else "?" for c in text)


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """`; did you mean "..."?` for the nearest known word, or an empty string."""
    import difflib  # here: every command loads this file, and few make a slip

    near = difflib.get_close_matches(word, list(known), n=1, cutoff=0.6)
    return f'; did you mean "{near[0]}"?' if near else ""
