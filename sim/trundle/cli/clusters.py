"""The option `--cluster` of all commands that make many runs."""

from __future__ import annotations

import click

from trundle.errors import InputError, Problem


def _address(ctx: click.Context, option: click.Parameter, value: str | None) -> str | None:
    if value is not None and not value.strip():  # a script's empty variable: not meant to run here instead
        raise InputError(Problem("is no address", "--cluster", "like tcp://192.168.1.20:8786"))
    return value


cluster_option = click.option(
    "--cluster",
    metavar="ADDRESS",
    callback=_address,
    help="A running distributed scheduler to use instead. Only on a network where you trust everyone: it and its "
    "workers unpickle what they are sent, so whoever reaches them can run programs on those computers.",
)
