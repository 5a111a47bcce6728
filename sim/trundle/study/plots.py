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
from matplotlib.collections import PolyCollection
from matplotlib.figure import Figure as Picture
from matplotlib.layout_engine import ConstrainedLayoutEngine

from trundle.findings.figures import Better, Figure
from trundle.findings.near_row import LOW
from trundle.study.ranges import ends

COLOURS = ("#1f5fa8", "#c8551b", "#2e8049", "#8a4fa3", "#7a6a1f", "#444444")
DASHES: tuple[Any, ...] = ("-", (0, (6, 2)), (0, (1.5, 1.2)), (0, (6, 2, 1.5, 2)), (0, (3, 1)), (0, (1, 2.5)))
"""How the curves of several runs are drawn, which tells them apart without their colours too."""

WEIGHTS = (1.3, 1.1, 1.3, 1.0, 1.0, 1.3)
"""How wide [points]."""

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
    speed_m_s: float | None = None
    """Target speed [m/s], None for the one the files say."""

    sign: str = ""
    """What stands at the curve's end."""

    @property
    def where(self) -> str:
        return self.course if self.speed_m_s is None else f"{self.course} at {self.speed_m_s:g} m/s"


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
    # By run, not by place in a row: one without a track has no curve in the last.
    colour = {id(s): COLOURS[i % len(COLOURS)] for i, s in enumerate(series)}
    number = {id(s): i % len(COLOURS) for i, s in enumerate(series)}
    for ax, (title, curves) in zip(axes, rows, strict=True):
        ends: list[tuple[float, float, str, str]] = []
        for s, y in curves:
            x, thin = thinned(s.x_m, y)
            k = number[id(s)]
            ax.plot(x, thin, color=colour[id(s)], ls=DASHES[k], lw=WEIGHTS[k], label=s.label)
            ends.append((float(x[-1]), float(thin[-1]), s.sign, colour[id(s)]))
        if len(curves) > 1:
            _named_at_ends(ax, ends)
        ax.set_ylabel(title)
        _plain(ax)
    columns = 2 if max(len(s.label) for s in series) < 50 else 1
    axes[0].legend(loc="lower left", bbox_to_anchor=(0, 1.0), ncols=columns, frameon=False)
    axes[-1].set_xlabel("course position of the centre of mass [m]")
    return svg(picture, "overlay")


def _named_at_ends(ax: Axes, ends: Sequence[tuple[float, float, str, str]]) -> None:
    """Each curve's sign beside its end; where they end close together, one above the other."""
    (left, right), (low, high) = ax.get_xlim(), ax.get_ylim()
    at = -np.inf
    for x, y, sign, colour in sorted(ends, key=lambda e: e[1]):
        at = max(y, at + 0.11 * (high - low))
        ax.text(x + 0.008 * (right - left), at, sign, fontsize=8, fontweight="bold", color=colour, va="center")


def thinned(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    """A curve with at most MAX_POINTS points: of each group of neighbours the least and greatest y."""
    if len(x) <= MAX_POINTS:
        return x, y
    groups = np.array_split(np.arange(len(x)), MAX_POINTS // 2)
    least, most = np.where(np.isnan(y), np.inf, y), np.where(np.isnan(y), -np.inf, y)
    keep: list[int] = []
    for g in groups:
        keep += sorted({int(g[np.argmin(least[g])]), int(g[np.argmax(most[g])])})
    return x[keep], y[keep]


NOT_RUN, NOT_OVER, NO_FIGURE, KNOWN = range(4)
"""What a cell of a heat map may be: no such combination, short of the end, without this figure, with a number."""

MAX_CELLS = 400
"""Cells of a heat map, and values along one setting, that are each drawn for themselves: a cell with its number, a
value with its dot. More than that are drawn to the size of a sheet, with no room for either."""

SHEET_IN = (12.0, 9.0)
"""Width and height of a heat map of more cells, at most [inch]."""

MAX_TICKS = 40
"""Values named along a side of such a heat map, at most."""

EMPTY = {
    NOT_OVER: "grey: did not reach the end",
    NO_FIGURE: "hatched: has no such figure",
    NOT_RUN: "blank: not run",
}
"""How cells without a number look, and what that says."""


def cells_of(
    worst: pd.DataFrame, row: str, column: str, figure: Figure
) -> tuple[list[Any], list[Any], Floats, np.ndarray[Any, np.dtype[np.int_]]]:
    """Values along both sides in the order given, the figure in each cell, and what each cell is."""
    worst = worst.sort_values("variant", kind="stable")
    down, rows = pd.factorize(worst[row], use_na_sentinel=False)
    across, columns = pd.factorize(worst[column], use_na_sentinel=False)
    values = np.full((len(rows), len(columns)), np.nan)
    kinds = np.full(values.shape, NOT_RUN)
    told = zip(down, across, worst["completed"], worst[figure.name].astype(float), strict=True)
    for i, j, over, value in told:
        kind = (KNOWN if np.isfinite(value) else NO_FIGURE) if over else NOT_OVER
        if kind > kinds[i, j]:
            kinds[i, j] = kind
            values[i, j] = value if kind == KNOWN else np.nan
    return list(rows), list(columns), values, kinds


def heat_note(worst: pd.DataFrame, row: str, column: str, figures: Sequence[Figure], over: str = "the courses") -> str:
    """What the heat maps of these figures show, and the cells without a number that there are; see rank.over_what."""
    seen = set().union(*(np.unique(cells_of(worst, row, column, f)[3]).tolist() for f in figures))
    told = ["darker is worse", *(said for kind, said in EMPTY.items() if kind in seen)]
    return f"Each figure at its worst over {over}; {'; '.join(told)}."


def heat_map(worst: pd.DataFrame, row: str, column: str, figure: Figure) -> str:
    """One figure over a grid of two settings, each cell with its number; see heat_note for cells without."""
    rows, columns, values, kinds = cells_of(worst, row, column, figure)
    whole = (1.8 + 0.62 * len(columns), 1.2 + 0.36 * len(rows))
    many = values.size > MAX_CELLS
    picture = Picture(figsize=(min(whole[0], SHEET_IN[0]), min(whole[1], SHEET_IN[1])) if many else whole)
    ax = picture.subplots()
    shades = "YlOrBr" if figure.better is not Better.HIGHER else "YlOrBr_r"
    ax.imshow(values, cmap=shades, aspect="auto", interpolation="nearest" if many else None)
    # Each kind as one, in stretches along the row: thousands of single cells take seconds to draw.
    ax.add_collection(PolyCollection(_stretches(kinds == NOT_OVER), fc="#c4c4c4", ec="none"), autolim=False)
    lacking = PolyCollection(_stretches(kinds == NO_FIGURE), fc="white", ec="#999999", lw=0, hatch="////")
    ax.add_collection(lacking, autolim=False)
    told = range(0, len(columns), -(-len(columns) // MAX_TICKS) if many else 1)
    names = [_text(columns[j]) for j in told]
    ax.set_xticks(told, names)
    if max(map(len, names)) > 7:  # wider than a cell
        ax.tick_params("x", rotation=30)
        for label in ax.get_xticklabels():
            label.set(ha="right", rotation_mode="anchor")
    told = range(0, len(rows), -(-len(rows) // MAX_TICKS) if many else 1)
    ax.set_yticks(told, [_text(rows[i]) for i in told])
    ax.set_xlabel(_path(column))
    ax.set_ylabel(_path(row, 20))
    ax.set_title(figure.heading, fontsize=9)
    if not many and np.isfinite(values).any():
        least, most = np.nanmin(values), np.nanmax(values)
        for (i, j), v in np.ndenumerate(values):
            if kinds[i, j] != KNOWN:
                continue
            share = (v - least) / (most - least) if most > least else 0.0
            dark = share > 0.6 if figure.better is not Better.HIGHER else share < 0.4
            said = f"{v:.{figure.digits}f}"
            ax.text(j, i, said, ha="center", va="center", fontsize=7, color="white" if dark else "black")
    return svg(picture, f"heat-{figure.name}")


def _stretches(cells: np.ndarray[Any, np.dtype[np.bool_]]) -> list[Floats]:
    """Corners of the boxes that cover these cells of a grid, one for each stretch of neighbours in a row."""
    edge = np.diff(np.pad(cells.astype(np.int8), ((0, 0), (1, 1))), axis=1)
    (rows, starts), ends = np.nonzero(edge == 1), np.nonzero(edge == -1)[1]
    left, right, low = starts - 0.5, ends - 0.5, rows - 0.5
    corners = [(left, low), (right, low), (right, low + 1), (left, low + 1)]
    return list(np.array(corners).transpose(2, 0, 1))


def one_way(worst: pd.DataFrame, path: str, figures: Sequence[Figure]) -> str:
    """Each figure against the one varied setting; shaded: where its near runs lie."""
    across = min(3, len(figures))
    down = -(-len(figures) // across)
    # With room between, or the title of one panel stands on the numbers of the one above.
    room = ConstrainedLayoutEngine(h_pad=0.12, w_pad=0.08)
    picture = Picture(figsize=(3.1 * across, 2.5 * down), layout=room)
    axes = picture.subplots(down, across, squeeze=False).ravel()
    order = worst.sort_values(path)
    for ax, figure in zip(axes, figures, strict=False):
        y = order[figure.name].where(order["completed"]).to_numpy(dtype=float)
        x = order[path].to_numpy(dtype=float)
        if figure.name + LOW in order and len(order) <= MAX_POINTS:
            low, high = (end.where(order["completed"]).to_numpy(dtype=float) for end in ends(order, figure.name))
            ax.fill_between(x, low, high, color=COLOURS[0], alpha=0.18, lw=0)
        ax.plot(*thinned(x, y), "-" if len(x) > MAX_CELLS else "o-", color=COLOURS[0], ms=3, lw=1)
        ax.set_title(figure.heading, fontsize=9, fontweight="bold")
        ax.set_xlabel(_path(path), fontsize=8)
        ax.ticklabel_format(axis="y", useOffset=False)
        if len(order) <= 6:  # a tick for every value that was tried, none between
            ax.set_xticks(order[path].to_numpy(dtype=float), [_text(v) for v in order[path]])
        _plain(ax)
    for ax in axes[len(figures) :]:
        ax.set_visible(False)
    return svg(picture, "one-way")


def trade_off(worst: pd.DataFrame, x: Figure, y: Figure) -> tuple[str, int]:
    """Two figures against each other, those beaten on every count hollow, and how many numbers found no room."""
    picture = Picture(figsize=(6.6, 4.4))
    ax = picture.subplots()
    at = worst[[x.name, y.name]].to_numpy(dtype=float)
    drawn = worst["completed"].to_numpy(dtype=bool) & np.isfinite(at).all(axis=1)
    at, over = at[drawn], worst[drawn]
    beaten = (over["beaten_by"] != "").to_numpy(dtype=bool)
    # Many dots as one image within the drawing: as lines, each takes 100 bytes of the page.
    look: dict[str, Any] = {"rasterized": len(at) > MAX_POINTS}
    if beaten.any():
        ax.plot(*at[beaten].T, "o", mfc="none", color="#888888", ms=5, label="another is as good or better", **look)
    ax.plot(*at[~beaten].T, "o", color=COLOURS[0], ms=6, label="none is as good or better", **look)
    ax.margins(0.08)
    ax.set_xlabel(_arrow(x))
    ax.set_ylabel(_arrow(y))
    if beaten.any():
        ax.legend(frameon=False, fontsize=8, loc="upper left", bbox_to_anchor=(0.0, 1.12), ncols=2)
    _plain(ax)
    ax.autoscale_view()  # only now do the limits stand, and with them where on the page each dot is [points]
    points = ax.transData.transform(at) * 72 / picture.dpi if len(at) else at
    first = np.argsort(beaten, kind="stable")  # a beaten one's number takes nobody's room
    names = [str(v) for v in over["variant"].to_numpy()[first]]
    places = beside(points[first], names)
    for i, name, place in zip(first, names, places, strict=True):
        if place is not None:
            ink: dict[str, Any] = {"color": "#888888" if beaten[i] else "black", "ha": "center", "va": "center"}
            ax.annotate(name, at[i], place, textcoords="offset points", fontsize=NUMBER_PT, **ink)
    return svg(picture, "trade-off"), sum(place is None for place in places)


NUMBER_PT = 7.0
"""Size of the numbers beside the dots [points]."""

MAX_NUMBERS = 200
"""Dots of one picture that get a number at most."""


def beside(points: Floats, names: Sequence[str]) -> list[tuple[float, float] | None]:
    """Where each dot's name has its middle, from the dot [points]; None where all room is taken.

    points: middles of the dots [points], shape (n, 2). The first come first; no name lies on a dot or a name.
    """
    taken = np.empty((0, 4))
    dot = 3.5  # half a dot
    dots = np.hstack([points - dot, points + dot]) if len(points) else taken
    places: list[tuple[float, float] | None] = []
    for name, middle in zip(names[:MAX_NUMBERS], points, strict=False):
        half = np.array([0.33 * NUMBER_PT * len(name), 0.42 * NUMBER_PT])
        out = dot + 0.5 + half
        side = np.array([dot - 1.5, dot - 1.5]) + half  # nearer when past a corner of the dot
        shifts = [side, (out[0], 0), side * (1, -1), side * (-1, 1), (-out[0], 0), -side, (0, out[1]), (0, -out[1])]
        for shift in shifts:
            box = np.concatenate([middle + shift - half, middle + shift + half])
            own = np.all(dots[:, :2] == middle - dot, axis=1)
            if not (_hit(box, taken) or _hit(box, dots[~own])):
                taken = np.vstack([taken, box])
                places.append((float(shift[0]), float(shift[1])))
                break
        else:
            places.append(None)
    return places + [None] * (len(names) - len(places))


def _hit(box: Floats, others: Floats) -> bool:
    """Whether a box (left, bottom, right, top) lies on any of others, shape (n, 4)."""
    return bool(((box[:2] < others[:, 2:]) & (box[2:] > others[:, :2])).all(axis=1).any())


def driver_bars(drivers: pd.DataFrame, figures: Sequence[Figure]) -> str:
    """Rank correlation of each figure with the fields that drive it most, as bars from -1 to 1."""
    across = min(2, len(figures))
    down = -(-len(figures) // across)
    picture = Picture(figsize=(4.6 * across, 1.5 * down), layout="constrained")
    axes = picture.subplots(down, across, squeeze=False).ravel()
    for ax, figure in zip(axes, figures, strict=False):
        rows = drivers[drivers["figure"] == figure.name].dropna().head(5)[::-1]
        ax.barh(rows["field"], rows["rank_correlation"], color=COLOURS[0], height=0.6)
        ax.axvline(0, color="#444444", lw=0.6)
        ax.set_xlim(-1, 1)
        ax.set_xticks([-1.0, -0.5, 0.0, 0.5, 1.0])
        ax.tick_params(labelsize=7)
        ax.set_title(figure.heading, fontsize=9)
    for ax in axes[len(figures) :]:
        ax.set_visible(False)
    return svg(picture, "drivers")


def _plain(ax: Axes) -> None:
    ax.grid(True, lw=0.4, color="#dddddd")
    for side in ("top", "right"):
        ax.spines[side].set_visible(False)


def _arrow(figure: Figure) -> str:
    return f"{figure.heading}, {figure.better} is better"


def _path(path: str, most: int = 40) -> str:
    """A field's path, in lines broken at its dots if it is long beside a small picture."""
    lines = [""]
    for part in path.split("."):
        longer = f"{lines[-1]}.{part}" if lines[-1] else part
        if len(longer) > most and lines[-1]:
            lines.append(f".{part}")
        else:
            lines[-1] = longer
    return "\n".join(lines)


def _text(value: Any) -> str:
    return f"{value:g}" if isinstance(value, (int, float)) else str(value)
