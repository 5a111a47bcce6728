"""What is typed for a field."""

from __future__ import annotations

import math
import re

from trundle.fields.quantity import QuantityError, number, unit_of


def typed(text: str, path: str) -> float:
    """The number of a text in the field's unit: `210`, `8 1/4 in`; a whole one stays whole. Raises ValueError: what is
    wrong."""
    if re.fullmatch(r"[-+]?[0-9]{1,12}", text.strip()):
        return int(text)
    name = next(part for part in reversed(path.split(".")) if not part.isdigit())
    if unit_of(name) is not None:
        try:
            return number(text, name)
        except QuantityError as e:
            raise ValueError(f"{e.text}: {e.allowed}") from None
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise ValueError(f'"{text}" is not a number')
    return value
