"""Numbers on the command line as a builder has them: 40, "1 1/2 in"; between what is allowed, never nan."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    Numeric = click.ParamType[float]
else:
    Numeric = click.ParamType  # generic for the type checker only


class Number(Numeric):
    """A number, in the unit of a field of that name (`width_mm`), or with its own: "3/16 in". Above `least`, unless
    that is allowed itself (`from_least`), up to `most`."""

    name = "number"

    def __init__(self, field: str, most: float, least: float = 0.0, from_least: bool = False) -> None:
        self.field, self.most, self.least, self.from_least = field, most, least, from_least

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """Fails with what is allowed."""
        if isinstance(value, float):
            return value
        from trundle.fields.quantity import QuantityError, number, unit_of

        try:
            found = number(str(value), self.field) if unit_of(self.field) else float(value)
        except QuantityError as e:
            self.fail(f"{e.text} (allowed: {e.allowed})", param, ctx)
        except ValueError:
            self.fail(f"'{value}' is no number.", param, ctx)
        inside = self.least <= found <= self.most if self.from_least else self.least < found <= self.most
        if not (math.isfinite(found) and inside):
            above = f"{self.least:g}" if self.from_least else f"above {self.least:g}"
            self.fail(f"{value} is out of range (allowed: {above}, up to {self.most:g}).", param, ctx)
        return found
