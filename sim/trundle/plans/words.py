"""Numbers and words as they stand on a drawing."""

from __future__ import annotations

from collections.abc import Sequence

from trundle.drawing.font import width_of


def mm(value: float) -> str:
    """A length or diameter, to a hundredth where it has one: 42, 12.5, 6.35."""
    return f"{value:.2f}".rstrip("0").rstrip(".") if abs(value) >= 0.005 else "0"


def kg(value: float) -> str:
    """A mass, to three figures; of less than 100 g in grams."""
    return f"{value:.3g} kg" if value >= 0.1 else f"{1e3 * value:.0f} g"


def marks_of(marks: Sequence[str]) -> str:
    """Marks of parts that share a sheet: "S1, T1", "L1 to L6"."""
    letters = {m[:1] for m in marks}
    numbers = [int(m[1:]) for m in marks if m[1:].isdigit()]
    if len(letters) == 1 and len(marks) > 2 and numbers == list(range(numbers[0], numbers[0] + len(marks))):
        return f"{marks[0]} to {marks[-1]}"
    return ", ".join(marks)


def fitted_size(text: str, width_mm: float, size: float, least: float = 1.8, bold: bool = False) -> float:
    """Height of letters at which a text is no wider than a cell, from `size` down to `least` [mm]."""
    wide = width_of(text, size, bold)
    return size if wide <= width_mm else max(least, 0.999 * size * width_mm / wide)


def cut_to(text: str, width_mm: float, size: float, bold: bool = False) -> str:
    """A text that fits a cell, its end left out where it is too long."""
    if width_of(text, size, bold) <= width_mm:
        return text
    while text and width_of(text + "...", size, bold) > width_mm:
        text = text[:-1]
    return text + "..."
