"""What is typed for a field."""

from __future__ import annotations

from trundle.errors import decimal_comma
from trundle_viewer.bench.fields import unit_of


def typed(text: str, path: str) -> float:
    """The number of a text, in the field's own unit; a whole one stays whole. Raises ValueError: what is wrong."""
    if decimal_comma(text):
        text = text.strip().replace(",", ".")
    try:
        return int(text)
    except ValueError:
        pass
    try:
        return float(text)
    except ValueError:
        unit = unit_of(path)
        raise ValueError(f'"{text}" is not a number' + (f" of {unit}" if unit else "")) from None
