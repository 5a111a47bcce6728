"""What can go wrong with the builder's input, said in one line each.

TrundleError
  InputError      a file, option or argument is wrong (a ValueError, too): exit code 2
  ComputerError   the computer does not do it: a file cannot be read or written, no room (an InputError, too)
  StandingError   the vehicle cannot stand on its springs (an InputError: the numbers are wrong)
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
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
        parts = [_cut(p) for p in (where, self.argument or self.field, self.problem) if p]
        text = ": ".join(parts)
        return plain(f"{text} (allowed: {_cut(self.allowed)})" if self.allowed else text)


LONGEST_TOLD = 4_000
"""Letters of a message's part, so that a name of a megabyte in a file does not fill the screen."""


def _cut(text: str) -> str:
    return text if len(text) <= LONGEST_TOLD else f"{text[:200]} ... {text[-200:]}"


class TrundleError(Exception):
    """Anything Trundle reports by message instead of traceback."""

    exit_code = 2
    """Of a command that ends by it."""


MOST_TOLD = 20
"""Problems that a message has lines for: whoever mends these sees the rest next time."""


def told(problems: Sequence[Problem], more: int = 0) -> str:
    """One line each, MOST_TOLD at most, and how many there are besides; `more`: problems that were only counted."""
    lines = [str(p) for p in problems[:MOST_TOLD]]
    left = len(problems) - len(lines) + more
    if left:
        lines.append(f"... and {left:,} more problem{'s' if left > 1 else ''}")
    return "\n".join(lines)


class InputError(TrundleError, ValueError):
    """The builder's input cannot be used. Carries the problems found, not just the first.

    more: how many there are besides, of a file with so many that only the first were looked into.
    """

    def __init__(self, problems: Problem | Iterable[Problem], more: int = 0) -> None:
        self.problems: tuple[Problem, ...] = (problems,) if isinstance(problems, Problem) else tuple(problems)
        self.more = more
        super().__init__(told(self.problems, more))

    def told_as(self, problems: Iterable[Problem]) -> InputError:
        """The same error with its problems told otherwise."""
        return type(self)(problems, self.more)

    def at(self, file: str, line: int = 0) -> InputError:
        """The same problems, each told which file (and line) it came from unless it knows already."""
        return self.told_as(
            replace(p, file=p.file or file, line=p.line or (line if not p.file else 0)) for p in self.problems
        )


class ComputerError(InputError):
    """The computer refused, not what the builder wrote: the same input may well do another time, or elsewhere."""


class StandingError(InputError):
    """No standing position exists: the springs cannot carry the hull, or nothing touches the ground."""


def plain(text: str) -> str:
    """`text` on one line and without characters that would steer a terminal: files of others are quoted in messages."""
    return "".join(c if c.isprintable() else " " if c.isspace() else "?" for c in text)


_COMMA = re.compile(r"[-+]?[0-9]{1,12},[0-9]{1,12}")


def decimal_comma(text: str) -> bool:
    """Whether `text` is a number with a decimal comma: 12,5."""
    return _COMMA.fullmatch(text.strip()) is not None


LONGEST_SLIP = 80
"""Letters above which a word is no slip of the pen; comparing long words takes time by the square of their length."""


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """`; did you mean "..."?` for the nearest known word, or an empty string."""
    import difflib  # here: every command loads this file, and few make a slip

    if len(word) > LONGEST_SLIP:
        return ""
    near = difflib.get_close_matches(word, [k for k in known if len(k) <= LONGEST_SLIP], n=1, cutoff=0.6)
    return f'; did you mean "{near[0]}"?' if near else ""
