"""Marks of several parts in few words."""

from __future__ import annotations

from collections.abc import Sequence


def marks(found: Sequence[str]) -> str:
    """ "L1 to L9", "A1 and A3": marks that follow each other as a range."""
    runs: list[list[str]] = []
    for mark in found:
        letter, number_ = mark[0], int(mark[1:])
        if runs and runs[-1][-1] == f"{letter}{number_ - 1}":
            runs[-1].append(mark)
        else:
            runs.append([mark])
    told = [n for r in runs for n in ([f"{r[0]} to {r[-1]}"] if len(r) > 2 else r)]
    return " and ".join([", ".join(told[:-1]), told[-1]]) if len(told) > 1 else "".join(told)
