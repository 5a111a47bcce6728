"""What is not drawn as usual: parts dashed and words pale where a size is not the file's, what is wrong red."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from trundle.drawing.pens import Pen
from trundle.elevation.inked import PENS
from trundle.elevation.outline import Seen
from trundle.fields.sketch import Sketch
from trundle.spec.readable import Reading
from trundle.spec.reader import path_of

SIZES = ("_mm", "_deg")


@dataclass(frozen=True)
class Inks:
    """reading: what the file says; faults: paths of fields that are wrong, with their numbers."""

    reading: Reading
    faults: Mapping[str, int] = field(default_factory=dict)

    def dimension(self, path: str) -> Pen:
        """Of a field's dimension or words."""
        if self._fault(path):
            return "fault"
        return "pale" if self.reading.is_supplied(path.partition("[")[0]) else "dimension"

    def value(self, path: str, value: str) -> str:
        """A field's value, and whether it is the file's."""
        return f"drawn as {value}" if self.reading.is_supplied(path.partition("[")[0]) else value

    def told(self, path: str, name: str, value: str) -> str:
        """A field's name and value, with the number of its fault."""
        number, known = self._fault(path), self.value(path, value)
        return f"{name}  {known} ({number})" if number else f"{name}  {known}"

    def _fault(self, path: str) -> int:
        return self.faults.get(path) or self.faults.get(path.partition("[")[0] if path.endswith("]") else path) or 0

    def shape(self, seen: Seen) -> Pen:
        """Of a part: dashed where one of its sizes is not the file's."""
        usual = PENS[seen.part]
        if seen.part in ("track", "links") or not self.reading.supplied:
            return usual
        return "axis" if self._has_supplied_size(seen.path) else usual

    def _has_supplied_size(self, path: str) -> bool:
        if self.reading.is_supplied(path):
            return True
        parts = path_of(path)
        return any(
            s[: len(parts)] == parts and len(s) == len(parts) + 1 and str(s[-1]).endswith(SIZES)
            for s in self.reading.supplied
        )

    def fields(self, path: str, sketch: Sketch) -> dict[str, Pen]:
        """Pens of a sketch's fields that are not as usual."""
        pens = {m.field: self.dimension(f"{path}.{m.field}") for m in sketch.marks}
        return {name: pen for name, pen in pens.items() if pen != "dimension"}
