"""Wren up a smooth hill, here and in another checkout: python -m tests.benchmarks.hill_against CHECKOUT

The other checkout runs in its own environment (CHECKOUT/.venv), with its own vehicle file. Written to
results/measured/hill.md and drawn in results/picture/hill.png. Under a minute.
"""

from __future__ import annotations

import argparse
import subprocess
import tempfile
import time
from pathlib import Path

import numpy as np
import pandas as pd
from matplotlib.figure import Figure

from tests.benchmarks.commands_against import HERE
from tests.measured import FOLDER, PICTURES, load, page, table

VEHICLE = "wren"

HILL = """
name = "Smooth hill, 10 degrees"
run_up_mm = 2500
run_out_mm = 500
speed_m_s = 0.5
[[obstacle]]
kind = "ramp up"
slope_deg = 10
height_mm = 1410
"""

STEADY_MM = (5_500.0, 10_000.0)
"""Where the whole vehicle is on the slope, and has been for 3 s."""

DRIVE = """
import sys, trundle
vehicle, course, out = sys.argv[1:]
run = trundle.run(vehicle, course)
run.timeline[["time_s", "hull.x_mm", "seat.up_m_s2", "energy.slip_J", "track.spare_mm"]].to_parquet(out)
"""


def driven(checkout: Path) -> pd.DataFrame:
    """The timeline of Wren up the hill, by that checkout."""
    with tempfile.TemporaryDirectory() as folder:
        course, out = Path(folder) / "hill.toml", Path(folder) / "timeline.parquet"
        course.write_text(HILL, encoding="utf-8")
        subprocess.run(
            [checkout / ".venv" / "bin" / "python", "-c", DRIVE, VEHICLE, str(course), str(out)],
            check=True,
            cwd=folder,
        )
        return pd.read_parquet(out)


def row(name: str, t: pd.DataFrame) -> tuple[str, ...]:
    """Name; on the slope: seat r.m.s., how often the track begins to hang loose, least work of slip in a step."""
    on = t["hull.x_mm"].between(*STEADY_MM)
    loose = (t["track.spare_mm"] > 0.0).astype(int)
    return (
        name,
        f"{t['seat.up_m_s2'][on].std():.3f}",
        f"{int((loose.diff()[on] > 0).sum())}",
        f"{1e3 * float(t['energy.slip_J'].diff()[on].min()):.4f}",
    )


def draw(path: Path, there: pd.DataFrame, here: pd.DataFrame) -> None:
    """Seat and work of slip along the course, one over the other."""
    picture = Figure(figsize=(9.0, 6.0), layout="constrained")
    seat, slip = picture.subplots(2, 1, sharex=True)
    for name, t, colour in (("before", there, "#c44e52"), ("now", here, "#1f5f99")):
        seat.plot(t["hull.x_mm"] / 1e3, t["seat.up_m_s2"], color=colour, linewidth=0.6, label=name)
        slip.plot(t["hull.x_mm"] / 1e3, t["energy.slip_J"], color=colour, linewidth=1.2, label=name)
    most = float(np.abs(there["seat.up_m_s2"]).quantile(0.999))
    seat.set(ylim=(-1.3 * most, 1.3 * most), ylabel="seat, up [m/s²]", title="Wren up a smooth hill of 10° at 0.5 m/s")
    slip.set(ylabel="work of slip so far [J]", xlabel="hull's place on the course [m]")
    for axes in (seat, slip):
        axes.axvspan(STEADY_MM[0] / 1e3, STEADY_MM[1] / 1e3, color="0.93", zorder=0)
        axes.grid(color="0.85", linewidth=0.5)
        axes.legend(loc="upper left", frameon=False)
    picture.savefig(path, dpi=110)


def main() -> None:
    """Drive, print, write."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("checkout", type=Path)
    other = parser.parse_args().checkout.resolve()
    begin, busy = time.perf_counter(), load()
    there, here = driven(other), driven(HERE)
    columns = (
        "on the slope, steady",
        "seat r.m.s. [m/s2]",
        "begins to hang loose",
        "least work of slip in a step [mJ]",
    )
    body = table(columns, [row("before", there), row("now", here)])
    PICTURES.mkdir(parents=True, exist_ok=True)
    draw(PICTURES / "hill.png", there, here)
    text = page(
        "Wren up a smooth hill of 10 degrees, before and now",
        body,
        f"python -m tests.benchmarks.hill_against {other.name}",
        time.perf_counter() - begin,
        busy,
    )
    FOLDER.mkdir(parents=True, exist_ok=True)
    (FOLDER / "hill.md").write_text(text, encoding="utf-8")
    print(text)


if __name__ == "__main__":
    main()
