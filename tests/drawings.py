"""Drawings of the shipped vehicles and of three refused files: `python -m tests.drawings`, or `python -m tests.measure
drawings`."""

from __future__ import annotations

import io
import tempfile
from pathlib import Path

from PIL import Image

from tests.measured import Measurement, no_arguments
from trundle.cli.draw import plan_of
from trundle.elevation.plan import Plan
from trundle.spec.shipped import find, names

WIDE_PX, GAP_PX, COLUMNS = 1_500, 16, 2

SPOILT = {
    "teasel": (("at_mm = [880, 0]", "at_mm = [1250, 0]"),),
    "mole": (("arm_mm = 160\n", ""), ("radius_mm = 75\n", "")),
    "otter": (
        ("arm_mm = 200", "arm_mm = -200"),
        ("radius_mm = 100", "radius_mm = 0.1"),
        ("teeth = 11", "teeth = 11.5"),
    ),
}
"""What is changed in a shipped file, once each: a wheel inside another, missing fields, a sign, a unit, no count."""


def spoilt(name: str) -> Plan:
    """A shipped vehicle's file with its faults."""
    text = find("vehicles", name).read_text(encoding="utf-8")
    for old, new in SPOILT[name]:
        assert old in text
        text = text.replace(old, new, 1)
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / f"my-{name}.toml"
        file.write_text(text, encoding="utf-8")
        return plan_of(file)[0]


def draw(path: Path) -> None:
    """The first page of each, two beside each other."""
    plans = [plan_of(find("vehicles", name))[0] for name in names("vehicles")] + [spoilt(name) for name in SPOILT]
    pages = [Image.open(io.BytesIO(plan.pages[0].png(width_px=WIDE_PX))) for plan in plans]
    high = max(page.height for page in pages)
    rows = -(-len(pages) // COLUMNS)
    size = COLUMNS * (WIDE_PX + GAP_PX) - GAP_PX, rows * (high + GAP_PX) - GAP_PX
    sheet = Image.new("RGB", size, (150, 156, 160))
    for k, page in enumerate(pages):
        sheet.paste(page, ((k % COLUMNS) * (WIDE_PX + GAP_PX), (k // COLUMNS) * (high + GAP_PX)))
    sheet.quantize(64).save(path, optimize=True)


MEASUREMENT = Measurement("drawings", "What trundle draw makes of files", None, draw, "drawings.png")

if __name__ == "__main__":
    no_arguments(MEASUREMENT)
