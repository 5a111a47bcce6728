"""The pictures of a study's report, as inline SVG text."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import matplotlib as mpl
import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.figure import Figure as Picture

from sim.study.figures import Figure

COLOURS = ("#1f5fa8", "#c8551b", "#2e8049", "#8a4fa3", "#7a6a1f", "#444444")
MAX_POINTS = 2_000
"""Points that a curve keeps; of each group the least and the greatest, so that no peak is lost."""

Floats = np.ndarray[Any, np.dtype[np.float64]]


@dataclass(frozen=True)
class Series:
    """One run's time series against course position. x_m: position [m], shape (n,); others alike."""

    label: str
    course: str
    x_m: Floats
    wheel_load_N: Floats
    pitch_deg: Floats
    tension_N: Floats | None


def svg(picture: Picture, name: str) -> str:
    """The picture as text to put into a page: the same picture gives the same text."""
    out = io.StringIO()
    with mpl.rc_context({"svg.fonttype": "none", "svg.hashsalt": name, "font.size": 9}):
        picture.savefig(out, format="svg", metadata={"Date": None}, bbox_inches="tight")
    text = out.getvalue()
    return text[text.index("<svg") :]


def overlay(series: Sequence[Series]) -> str:
    """Wheel load, pitch and track tension of a few runs against course position."""
    rows: list[tuple[str, list[tuple[Series, Floats]]]] = [
        ("highest wheel load [N]", [(s, s.wheel_load_N) for s in series]),
        ("pitch, nose up [deg]", [(s, s.pitch_deg) for s in series]),
        ("slack side tension [N]", [(s, s.tension_N) for s in series if s.tension_N is not None]),
    ]
    rows = [row for row in rows if row[1]]
    picture = Picture(figsize=(9.0, 2.3 * len(rows)))
    axes = picture.subplots(len(rows), 1, sharex=True, squeeze=False)[:, 0]
    for ax, (title, curves) in zip(axes, rows, strict=True):
        for i, (s, y) in enumerate(curves):
            x, thin = thinned(s.x_m, y)
            ax.plot(x, thin, color=COLOURS[i % len(COLOURS)], lw=0.9, label=s.label)
        ax.set_ylabel(title)
        _plain(ax)
    axes[0].legend(loc="upper left", bbox_to_anchor=(0, 1.35), ncols=2, frameon=False)
    axes[-1].set_xlabel("course position of the centre of mass [m]")
    return svg(picture, "overlay")


def thinned(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    """A curve with at most MAX_POINTS points: of each group of neighbours the least and greatest y."""
    if len(x) <= MAX_POINTS:
        return x, y
    groups = np.array_split(np.arange(len(x)), MAX_POINTS // 2)
    keep: list[int] = []
    for g in groups:
        keep += sorted({int(g[np.argmin(y[g])]), int(g[np.argmax(y[g])])})
    return x[keep], y[keep]


def heat_map(worst: pd.DataFrame, row: str, column: str, figure: Figure) -> str:
    """One figure over a grid of two settings, each cell with its number; empty where a run failed."""
    worst = worst.sort_values("variant")
    grid = worst[worst["completed"]].pivot_table(
        index=row, columns=column, values=figure.column, aggfunc="first", sort=False
    )
    # All values of the grid, in the order given, also where nothing completed.
    grid = grid.reindex(index=list(dict.fromkeys(worst[row])), columns=list(dict.fromkeys(worst[column])))
    values = grid.to_numpy(dtype=float)
    picture = Picture(figsize=(1.8 + 0.62 * grid.shape[1], 1.2 + 0.36 * grid.shape[0]))
    ax = picture.subplots()
    shades = "YlOrBr" if figure.better != "higher" else "YlOrBr_r"
    ax.set_facecolor("#dddddd")
    ax.imshow(values, cmap=shades, aspect="auto")
    ax.set_xticks(range(grid.shape[1]), [_text(v) for v in grid.columns])
    ax.set_yticks(range(grid.shape[0]), [_text(v) for v in grid.index])
    ax.set_xlabel(column)
    ax.set_ylabel(row)
    ax.set_title(figure.title, fontsize=9)
    if values.size <= 400 and np.isfinite(values).any():
        least, most = np.nanmin(values), np.nanmax(values)
        for (i, j), v in np.ndenumerate(values):
            share = (v - least) / (most - least) if most > least else 0.0
            dark = share > 0.6 if figure.better != "higher" else share < 0.4
            said = f"{v:.{figure.digits}f}" if np.isfinite(v) else "–"
            ax.text(j, i, said, ha="center", va="center", fontsize=7, color="white" if dark else "black")
    return svg(picture, f"heat-{figure.column}")


def one_way(worst: pd.DataFrame, path: str, figures: Sequence[Figure]) -> str:
    """Each figure against the one varied setting."""
    across = min(3, len(figures))
    down = -(-len(figures) // across)
    picture = Picture(figsize=(3.1 * across, 2.2 * down), layout="constrained")
    axes = picture.subplots(down, across, squeeze=False).ravel()
    order = worst.sort_values(path)
    for ax, figure in zip(axes, figures, strict=False):
        y = order[figure.column].where(order["completed"]).to_numpy(dtype=float)
        ax.plot(order[path].to_numpy(dtype=float), y, "o-", color=COLOURS[0], ms=3, lw=1)
        ax.set_title(figure.title, fontsize=9)
        if len(order) <= 6:  # a tick for every value that was tried, none between
            ax.set_xticks(order[path].to_numpy(dtype=float), [_text(v) for v in order[path]])
        _plain(ax)
    for ax in axes[len(figures) :]:
        ax.set_visible(False)
    picture.supxlabel(path, fontsize=9)
    return svg(picture, "one-way")


def trade_off(worst: pd.DataFrame, x: Figure, y: Figure) -> str:
    """Two figures against each other; those that no variant beats on every count are filled and numbered."""
    picture = Picture(figsize=(5.6, 4.0))
    ax = picture.subplots()
    over = worst[worst["completed"]]
    beaten = over["beaten_by"] != ""
    if beaten.any():
        ax.plot(
            over.loc[beaten, x.column],
            over.loc[beaten, y.column],
            "o",
            mfc="none",
            color="#888888",
            ms=5,
            label="another is as good or better",
        )
    front = over[~beaten]
    ax.plot(front[x.column], front[y.column], "o", color=COLOURS[0], ms=6, label="none is as good or better")
    for number, px, py in front[["variant", x.column, y.column]].head(25).itertuples(index=False):
        ax.annotate(str(number), (px, py), xytext=(4, 4), textcoords="offset points", fontsize=7)
    ax.set_xlabel(_arrow(x))
    ax.set_ylabel(_arrow(y))
    if beaten.any():
        ax.legend(frameon=False, fontsize=8, loc="upper left", bbox_to_anchor=(0.0, 1.12), ncols=2)
    _plain(ax)
    return svg(picture, "trade-off")


def driver_bars(drivers: pd.DataFrame, figures: Sequence[Figure]) -> str:
    """Rank correlation of each figure with the fields that drive it most, as bars from -1 to 1."""
    across = min(2, len(figures))
    down = -(-len(figures) // across)
    picture = Picture(figsize=(4.6 * across, 1.5 * down), layout="constrained")
    axes = picture.subplots(down, across, squeeze=False).ravel()
    for ax, figure in zip(axes, figures, strict=False):
        rows = drivers[drivers["figure"] == figure.column].dropna().head(5)[::-1]
        ax.barh(rows["field"], rows["rank_correlation"], color=COLOURS[0], height=0.6)
        ax.axvline(0, color="#444444", lw=0.6)
        ax.set_xlim(-1, 1)
        ax.set_xticks([-1.0, -0.5, 0.0, 0.5, 1.0])
        ax.tick_params(labelsize=7)
        ax.set_title(figure.title, fontsize=9)
    for ax in axes[len(figures) :]:
        ax.set_visible(False)
    return svg(picture, "drivers")


def _plain(ax: Axes) -> None:
    ax.grid(True, lw=0.4, color="#dddddd")
    for side in ("top", "right"):
        ax.spines[side].set_visible(False)


def _arrow(figure: Figure) -> str:
    return f"{figure.title}, {figure.better} is better"


def _text(value: Any) -> str:
    return f"{value:g}" if isinstance(value, (int, float)) else str(value)
