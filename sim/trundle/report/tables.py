"""Tables of the verdict as cells of text, for the screen and for the page."""

from __future__ import annotations

from trundle.findings.verdict import WheelRow

WHEEL_HEADS = ("wheel", "standing [N]", "mean [N]", "peak [N]", "peak at [m]", "off [s]")


def wheel_cells(row: WheelRow) -> tuple[str, ...]:
    """One wheel's row, as WHEEL_HEADS names it."""
    return (
        row.name,
        f"{row.standing_N:.0f}",
        f"{row.mean_N:.0f}",
        f"{row.peak_N:.0f}",
        f"{row.peak_at_m:.2f}",
        f"{row.off_s:.2f}" if row.off_s > 0.0 else "–",
    )
