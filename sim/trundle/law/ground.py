"""Looking things up on the course."""

from __future__ import annotations

from trundle.law.compile import inner
from trundle.model.arrays import BLOCK


@inner
def cell(g, x):
    """Grid interval that holds course position x [m], kept inside the grid."""
    head = g.head[0]
    i = int((x - head.x0) / head.dx)
    return min(max(i, 0), g.cells.shape[0] - 3)


@inner
def height_at(g, x):
    """Height of the ground at x [m]."""
    k, last = g.cells[cell(g, x)].line_from, g.lines.shape[0] - 1
    while k < last and g.lines[k + 1].x <= x:
        k += 1
    line = g.lines[k]
    return line.y + (x - line.x) * line.ty / line.tx


@inner
def highest(g, first, last):
    """A height that no surface point of grid intervals first to last exceeds [m]."""
    top = g.block_top[first // BLOCK]
    for k in range(first // BLOCK + 1, last // BLOCK + 1):
        top = max(top, g.block_top[k])
    return top


@inner
def lines_between(g, begin_x, end_x):
    """Numbers of the first line of the surface that reaches the interval at begin_x and of the one past the last that
    reaches that at end_x."""
    return g.cells[cell(g, begin_x)].line_from, g.cells[cell(g, end_x) + 1].line_from + 1


@inner
def peaks_inside(g, begin_x, end_x):
    """Numbers of the first peak in the interval at begin_x, and of the one past the last in that at end_x."""
    return g.cells[cell(g, begin_x)].peak_from, g.cells[cell(g, end_x) + 1].peak_from


@inner
def wanted_speed(speeds, x, own):
    """The driver's speed at x [m/s]: the course's, or the vehicle's own where the course asks for none."""
    wish = own
    for k in range(speeds.shape[0]):
        if x >= speeds[k].x:
            asked = speeds[k].speed
            wish = asked if asked == asked else own
    return wish
