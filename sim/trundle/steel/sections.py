"""Properties of the sections that arms and brackets are cut from.

Axes of every section: y from its underside (a channel: from the back of its web), x sideways from its
middle; all sections are alike left and right. Bending "about x" is that by a load along y.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from trundle.errors import InputError, Problem
from trundle.steel import outline
from trundle.steel.channel_grid import channel_grid
from trundle.steel.coil import STEEL_DENSITY
from trundle.steel.materials import G_STEEL
from trundle.steel.warping import solve
from trundle.units import MM


@dataclass(frozen=True)
class Section:
    """What a bar of this section resists with.

    area_m2. y_m: centroid over the underside [m]. ix_m4, iy_m4: second moments about the centroid.
    height_m, width_m: outside sizes. j_m4: torsion constant. wt_m3: torque over largest shear stress.
    shear_y_m: shear centre over the underside [m], negative: below it. open_: it twists easily, and a load
    off the shear centre twists it.
    """

    name: str
    area_m2: float
    y_m: float
    ix_m4: float
    iy_m4: float
    height_m: float
    width_m: float
    j_m4: float
    wt_m3: float
    shear_y_m: float
    open_: bool = False

    @property
    def wx_low_m3(self) -> float:
        """Section modulus about x at the underside (a channel: at the web's back) [m3]."""
        return self.ix_m4 / self.y_m

    @property
    def wx_high_m3(self) -> float:
        """Section modulus about x at the top (a channel: at the toes of its legs) [m3]."""
        return self.ix_m4 / (self.height_m - self.y_m)

    @property
    def wx_m3(self) -> float:
        """The smaller of the two moduli about x [m3]."""
        return min(self.wx_low_m3, self.wx_high_m3)

    @property
    def mass_kg_per_m(self) -> float:
        """Mass per length of steel [kg/m]."""
        return self.area_m2 * STEEL_DENSITY

    def torque_Nm(self, along_x_N: float, along_y_N: float, at_x_m: float, at_y_m: float) -> float:
        """Torque about the shear centre of a load acting at (x, y) of the section [N.m]."""
        return along_y_N * at_x_m - along_x_N * (at_y_m - self.shear_y_m)

    def twist_rad(self, torque_Nm: float, length_m: float) -> float:
        """Twist over a length, T L/GJ [rad] (Saint-Venant; a clamped end twists less, which is left out)."""
        return torque_Nm * length_m / (G_STEEL * self.j_m4)

    def twist_stress_Pa(self, torque_Nm: float) -> float:
        """Largest shear stress by free torsion, T/Wt [Pa]."""
        return abs(torque_Nm) / self.wt_m3


def _refuse(problem: str, allowed: str = "") -> InputError:
    return InputError(Problem(problem, "section", allowed))


def flat(width_m: float, height_m: float) -> Section:
    """A solid rectangle. J and its stress by the fits of Roark table 10.1 (J within 0.5 %, from memory)."""
    if min(width_m, height_m) <= 0.0:
        raise _refuse("a flat needs a width and a height above 0")
    b, t = max(width_m, height_m), min(width_m, height_m)
    q = t / b
    j = b * t**3 / 3.0 * (1.0 - 0.63 * q * (1.0 - q**4 / 12.0))
    # Roark's peak stress: 3T/(8 a b^2)(1 + 0.6095 q + 0.8865 q^2 - 1.8023 q^3 + 0.91 q^4), half sizes a, b.
    rise = 1.0 + 0.6095 * q + 0.8865 * q**2 - 1.8023 * q**3 + 0.91 * q**4
    wt = b * t**2 / (3.0 * rise)
    name = f"flat {width_m / MM:g} x {height_m / MM:g}"
    ix, iy = width_m * height_m**3 / 12.0, height_m * width_m**3 / 12.0
    middle = height_m / 2.0
    return Section(name, b * t, middle, ix, iy, height_m, width_m, j, wt, middle)


def round_bar(diameter_m: float, bore_m: float = 0.0) -> Section:
    """A round bar or tube: pi d^4/64, J twice that, Wt = 2J/d."""
    if not 0.0 <= bore_m < diameter_m:
        raise _refuse("a round bar needs a diameter above 0 and a bore smaller than it")
    d, h = diameter_m, bore_m
    i = math.pi * (d**4 - h**4) / 64.0
    name = f"round {d / MM:g}" + (f" bore {h / MM:g}" if h else "")
    return Section(name, math.pi * (d**2 - h**2) / 4.0, d / 2.0, i, i, d, d, 2.0 * i, 4.0 * i / d, d / 2.0)


def corner_radius(thickness_m: float) -> float:
    """Outer corner radius of cold-formed square tube: 2T up to 6 mm, 2.5T up to 10, 3T above (EN 10219-2)."""
    t = thickness_m
    return (2.0 if t <= 6.0001 * MM else 2.5 if t <= 10.0001 * MM else 3.0) * t


def _check_tube(side_m: float, thickness_m: float, radius_m: float) -> None:
    if thickness_m <= 0.0 or side_m <= 2.0 * radius_m:
        raise _refuse(
            f"a {side_m / MM:g} mm square tube cannot have {thickness_m / MM:g} mm walls",
            f"0 to {side_m / 4.0 / MM:g} mm",
        )


@lru_cache(maxsize=64)  # integrated round its outline: a vehicle has the same arm many times
def square_tube(side_m: float, thickness_m: float) -> Section:
    """Cold-formed square hollow section, rounded corners. J, Wt by EN 10219-2 annex B."""
    b, t, ro = side_m, thickness_m, corner_radius(thickness_m)
    _check_tube(b, t, ro)
    a = outline.integrate(
        [
            outline.rounded_rectangle(b, b, ro),
            outline.rounded_rectangle(b - 2 * t, b - 2 * t, ro - t, hole=True),
        ]
    )
    rc = ro - t / 2.0
    around = 4.0 * (b - t) - 2.0 * rc * (4.0 - math.pi)
    inside = (b - t) ** 2 - rc**2 * (4.0 - math.pi)
    k = 2.0 * inside * t / around
    j = t**3 * around / 3.0 + 2.0 * k * inside
    wt = j / (t + k / t)
    name = f"square tube {b / MM:g} x {t / MM:g}"
    return Section(name, a.area_m2, b / 2.0, a.xx_m4, a.yy_m4, b, b, j, wt, b / 2.0)


def cut_depth(side_m: float, thickness_m: float, cut: Literal["face", "face and corners"]) -> float:
    """Depth of the channel left [m]: one wall's thickness taken off, or also its two corner radii."""
    return side_m - (thickness_m if cut == "face" else corner_radius(thickness_m))


@lru_cache(maxsize=64)  # finite elements: a study would do them again for every run
def channel(side_m: float, thickness_m: float, depth_m: float) -> Section:
    """Open channel cut from cold-formed square tube, web down, `depth_m` over its back; rounded corners.

    Area figures exact for arcs and straights; J and shear centre by finite elements (`warping`), converged
    to 0.3 %. Wt = J/t, the stress in the straight walls. See `cut_depth` for the two usual cuts.
    Raises InputError unless the depth lies between the lower corners and the inside of the face cut off.
    """
    b, t, d, ro = side_m, thickness_m, depth_m, corner_radius(thickness_m)
    _check_tube(b, t, ro)
    if not ro < d <= (b - t) * (1.0 + 1e-9):
        raise _refuse(
            f"a channel {d / MM:g} mm deep cannot be cut from {b / MM:g} mm square tube",
            f"above {ro / MM:g} up to {(b - t) / MM:g} mm",
        )
    a = outline.integrate([channel_outline(b, t, d)])
    torsion = solve(channel_grid(b, t, d, ro))
    width = b
    name = f"channel {b / MM:g} wide, {d / MM:g} deep, from square tube {b / MM:g} x {t / MM:g}"
    j = torsion.J_m4
    return Section(name, a.area_m2, a.y_m, a.xx_m4, a.yy_m4, d, width, j, j / t, torsion.y_m, True)


def channel_outline(side_m: float, thickness_m: float, depth_m: float) -> list[outline.Edge]:
    """The channel's boundary, anticlockwise, back of the web on y = 0 [m]."""
    b, t, d, ro = side_m, thickness_m, depth_m, corner_radius(thickness_m)
    ri, q = ro - t, math.pi / 2.0
    x, upper = b / 2.0, b - ro
    # Above the legs' straight part the cut leaves the beginning of the upper corners.
    over = max(d - upper, 0.0)
    out, into = math.asin(over / ro), math.asin(min(over / ri, 1.0))
    top = min(d, upper)
    tip_out = x - ro + ro * math.cos(out)
    tip_in = x - ro + ri * math.cos(into)
    edges: list[outline.Edge] = [
        outline.Line((-x + ro, 0.0), (x - ro, 0.0)),
        outline.Arc((x - ro, ro), ro, -q, 0.0),
        outline.Line((x, ro), (x, top)),
    ]
    if over > 0.0:
        edges.append(outline.Arc((x - ro, upper), ro, 0.0, out))
    edges.append(outline.Line((tip_out, d), (tip_in, d)))
    if over > 0.0:
        edges.append(outline.Arc((x - ro, upper), ri, into, 0.0))
    edges += [
        outline.Line((x - t, top), (x - t, ro)),
        outline.Arc((x - ro, ro), ri, 0.0, -q),
        outline.Line((x - ro, t), (-x + ro, t)),
        outline.Arc((-x + ro, ro), ri, -q, -2 * q),
        outline.Line((-x + t, ro), (-x + t, top)),
    ]
    if over > 0.0:
        edges.append(outline.Arc((-x + ro, upper), ri, 2 * q, 2 * q - into))
    edges.append(outline.Line((-tip_in, d), (-tip_out, d)))
    if over > 0.0:
        edges.append(outline.Arc((-x + ro, upper), ro, 2 * q - out, 2 * q))
    edges += [outline.Line((-x, top), (-x, ro)), outline.Arc((-x + ro, ro), ro, 2 * q, 3 * q)]
    return edges
