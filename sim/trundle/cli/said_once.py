"""Warnings of the library as a command tells them: a line on stderr, each once."""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import click

from trundle.spec.old_names import OldNameWarning


@contextmanager
def said_once() -> Iterator[None]:
    """While a command goes on. Warnings that are not Trundle's are left as they are."""
    said: set[str] = set()

    def tell(message: Warning | str, category: type[Warning], *rest: Any, **more: Any) -> None:
        if not issubclass(category, OldNameWarning):
            others(message, category, *rest, **more)
        elif str(message) not in said:
            said.add(str(message))
            click.echo(f"note: {message}", err=True)

    with warnings.catch_warnings():
        warnings.simplefilter("always", OldNameWarning)
        others = warnings.showwarning
        warnings.showwarning = tell
        yield
