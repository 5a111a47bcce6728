"""Words on a page: broken to a width, values as they stand in the file, which tables are alike."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from trundle.drawing.font import width_of
from trundle.drawing.marks import Mark, Text
from trundle.drawing.pens import Pen
from trundle.fields.base import Spec

LINE = 1.75
"""From line to line, over the height of capitals."""


def broken(text: str, width: float, size: float, bold: bool = False) -> list[str]:
    """In lines no wider than `width` [mm]; a word that is wider by itself is cut."""
    lines = [""]
    for word in text.split():
        while width_of(word, size, bold) > width and len(word) > 1:
            fits = next(n for n in range(len(word) - 1, 0, -1) if n == 1 or width_of(word[:n], size, bold) <= width)
            if lines[-1]:
                lines.append("")
            lines[-1], word = word[:fits], word[fits:]
            lines.append("")
        longer = f"{lines[-1]} {word}".strip()
        if width_of(longer, size, bold) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return [line for line in lines if line] or [""]


def column(
    x: float, top: float, lines: Sequence[str], size: float, pen: Pen = "cut", bold: bool = False
) -> tuple[list[Mark], float]:
    """Lines below each other from a top edge; and where the next would begin."""
    marks: list[Mark] = []
    for line in lines:
        marks.append(Text(x, top - size, line, size, bold=bold, pen=pen))
        top -= LINE * size
    return marks, top


def as_written(value: object) -> str:
    """A value as the file has it."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, float):
        return f"{value:.6g}"
    if isinstance(value, str):
        return f'"{value}"'
    if isinstance(value, (tuple, list)):
        return f"[{', '.join(as_written(v) for v in value)}]"
    return str(value)


def is_table(value: object) -> bool:
    """Whether a field's value is drawn by itself."""
    if isinstance(value, Mapping):
        return any(isinstance(v, Spec) for v in value.values())
    if isinstance(value, tuple):
        return any(isinstance(v, Spec) for v in value)
    return isinstance(value, Spec)


def alike_words(paths: Sequence[str]) -> str:
    """`bogie.front = middle = rear`: the paths of tables that say the same, as short as can be."""
    first = paths[0].split(".")
    told = [paths[0]]
    for path in paths[1:]:
        parts = path.split(".")
        differ = [k for k in range(min(len(first), len(parts))) if first[k] != parts[k]]
        same = len(first) == len(parts) and len(differ) == 1
        told.append(parts[differ[0]] if same else path)
    return " = ".join(told)
