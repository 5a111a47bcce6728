"""How often the command line rolls a run close by."""

from __future__ import annotations

from typing import Any

import click

from trundle.fields.near import NEAR

near_option = click.option(
    "--near", type=int, metavar="N",
    help=f"Roll it N times close by, and give medians with ranges [{NEAR}, of very long courses fewer]; 1: once.",
)  # fmt: skip


def near_options(near: int | None) -> dict[str, Any]:
    """As keywords for trundle.run."""
    return {} if near is None else {"near": near}
