"""A file of answers to fill in: every question as a line that is commented out, with what it means and an example."""

from __future__ import annotations

from collections.abc import Iterator

from trundle.design.answers import Answers
from trundle.design.stock import STOCKS, StockAtHand
from trundle.fields.commented import commented

EXAMPLE = {
    "name": "My hull",
    "use": "ride-on",
    "all_up_kg": 180.0,
    "load_kg": 75.0,
    "length_mm": 1900.0,
    "kerb_mm": 100.0,
    "speed_m_s": 1.2,
    "wheels": {"each_side": 6, "diameter_mm": 170.0, "width_mm": 37.0, "abreast": 2, "rubber_rate_N_per_mm": 280.0},
    "track": {"pitch_mm": 50.0, "width_mm": 125.0, "thickness_mm": 12.0, "mass_kg_per_m": 2.7, "tooth_mm": 29.0},
    "motor": {"torque_Nm": 120.0, "power_W": 2000.0},
}
"""What a builder of a small ride-on would write."""

STOCK_EXAMPLES: dict[str, dict[str, object]] = {
    "leaf strip": {"width_mm": 40.0, "thickness_mm": 3.0, "length_mm": 600.0, "steel": "unknown scrap"},
    "round bar": {"diameter_mm": 10.0, "length_mm": 1_000.0, "steel": "51CrV4"},
    "coil": {"wire_mm": 6.0, "outside_mm": 52.0, "coils": 8.0, "free_length_mm": 150.0, "steel": "unknown scrap"},
    "coil by rate": {"rate_N_per_mm": 24.0, "free_length_mm": 180.0, "solid_length_mm": 80.0},
    "spring and damper": {
        "rate_N_per_mm": 40.0, "free_length_mm": 260.0, "solid_length_mm": 190.0, "preload_N": 0.0,
    },
    "gas strut": {"force_N": 500.0, "progression": 1.35, "stroke_mm": 100.0, "extended_length_mm": 265.0},
    "rubber block": {"hardness_irhd": 60.0, "width_mm": 60.0, "length_mm": 80.0, "thickness_mm": 50.0},
}  # fmt: skip

HEAD = """# Answers for a first design. Take the # off a line whose answer you know and put your own number in;
# what stays commented out is estimated, and marked as a guess in the vehicle's file.
# Lengths, masses, rates may have a unit, in quotes: "3/16 in", "40 lb", "300 lbf/in".
#   trundle new --from {file}
"""


def blank(file: str) -> str:
    """The text. file: its name, for the command to type next."""
    lines = [*_commented_out(commented(Answers, EXAMPLE)), "", *_stocks()]
    return HEAD.format(file=file) + "\n" + "\n".join(lines) + "\n"


def example_of(kind: type[StockAtHand]) -> dict[str, object]:
    """A piece of stock of a kind, as a table of the file."""
    return {"kind": kind.kind_name(), **STOCK_EXAMPLES[kind.kind_name()]}


def _stocks() -> Iterator[str]:
    yield "# What you have to make springs of: take the # off one of these (with none of them: new round bar)."
    for kind in STOCKS:
        yield ""
        for line in commented(Answers, {"stock": example_of(kind)}).splitlines():
            yield f"# {line}"


def _commented_out(text: str) -> Iterator[str]:
    """Fields commented out; headers of tables stay, and so do the name and what it is for."""
    for line in text.splitlines():
        plain = line.startswith(("[", "name ", "use ", "name=", "use="))
        yield line if plain or not line else f"# {line}"
