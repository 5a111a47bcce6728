"""Pads of bump and droop stops: force against how far they are pressed, on a pad that grows harder all the while."""

from __future__ import annotations

import itertools
from abc import abstractmethod
from typing import TYPE_CHECKING, Annotated, ClassVar, Literal

import numpy as np
from pydantic import Field, model_validator

from trundle.fields.base import Axes, PlacedError, PointMm
from trundle.fields.kind import Kind, one_of
from trundle.fields.shape import disc
from trundle.fields.sketch import Around, Note, Sketch, Span
from trundle.fields.sketch_parts import box
from trundle.fields.step import By, Kept, Times
from trundle.fields.stock import StockMm
from trundle.springs.felt_pad import PadLimit, PadPiece, smooth, straight
from trundle.springs.on_arm import Curve
from trundle.steel import rubber
from trundle.units import MM, MOST_PAD_PIECES, N_PER_MM

More = Annotated[float, Field(ge=0, le=1e6), Times(2)]

FLAT = 0.7
"""Share of its height by which a rubber pad is pressed flat: it gives no more, and splits if that is often asked."""

SMOOTH_PIECES = 16
"""Cubics between nought and FLAT: within 0.05 % of the curve."""

LAW_TITLE = "force over how far it is pressed"


class Pad(Kind):
    """The rubber of a stop whose force is known over how far it is pressed: a progressive bump stop.

    Also called: bump rubber, bump stop, snubber, buffer, jounce bumper.
    """

    @abstractmethod
    def force_N(self, deflection_m: float) -> float:
        """Force pressed by `deflection_m` [m], N; 0 when not touched."""

    @abstractmethod
    def energy_J(self, deflection_m: float) -> float:
        """Energy taken up [J], the area under `force_N`."""

    @abstractmethod
    def pieces(self) -> tuple[PadPiece, ...]:
        """Its law as the run has it, MOST_PAD_PIECES at most, where the pad is."""

    @abstractmethod
    def limit(self) -> PadLimit | None:
        """How far that law is true; None where nothing says so."""

    @abstractmethod
    def in_words(self) -> str:
        """What it is, in short."""


def pad_curve(pad: Pad, most_mm: float) -> Curve:
    """A pad's force, pressed by up to `most_mm`."""
    pressed = np.linspace(0.0, most_mm * MM, 60)
    return Curve(pressed, np.array([pad.force_N(float(x)) for x in pressed]))


class CurvePad(Pad):
    """A pad known by its rate: force = rate x + square x^2 + cube x^3, x pressed in mm: the plain and the progressive
    pad.

    Also called: bump stop, bump rubber, snubber, progressive bump stop
    """

    EXAMPLE: ClassVar[str] = 'kind = "curve pad"\nrate_N_per_mm = 80\nsquare_N_per_mm2 = 6\ncube_N_per_mm3 = 0.4\n'

    kind: Literal["curve pad"] = "curve pad"

    rate_N_per_mm: Annotated[float, Field(gt=0, le=1e6), Times(2)]
    """Force for the first millimetre pressed, N/mm.

    Usual: 50 to 300.
    Measure: bathroom scale in a vice or under a drill press: kilograms for 2 mm x 4.9.
    If wrong: too soft and the arm goes on to steel, too hard and each bump is a hammer's blow.
    """

    square_N_per_mm2: More = 0.0
    """What the force has more than the straight line, over the square of how far it is pressed, N/mm2; 0: none.

    Usual: 0 to 30.
    Measure: kilograms at half the pad's height x 9.81, less rate x mm; over mm twice.
    If wrong: the pad bottoms later or earlier than in life.
    Also called: progression
    """

    cube_N_per_mm3: More = 0.0
    """The same over the third power, for a pad that gets very hard at last, N/mm3; 0: none.

    Usual: 0 to 2.
    Measure: as square_N_per_mm2, pressed further; a pad measured at several loads is better a "table pad".
    If wrong: the pad bottoms later or earlier than in life.
    """

    def force_N(self, deflection_m: float) -> float:
        """Force pressed by `deflection_m` [m], N; 0 when not touched."""
        x = max(deflection_m, 0.0) / MM
        return x * (self.rate_N_per_mm + x * (self.square_N_per_mm2 + x * self.cube_N_per_mm3))

    def energy_J(self, deflection_m: float) -> float:
        """Energy taken up [J], the area under `force_N`."""
        x = max(deflection_m, 0.0) / MM
        area = x * x * (self.rate_N_per_mm / 2.0 + x * (self.square_N_per_mm2 / 3.0 + x * self.cube_N_per_mm3 / 4.0))
        return area * MM

    def pieces(self) -> tuple[PadPiece, ...]:
        """One: it is a cubic itself."""
        square, cube = self.square_N_per_mm2 * N_PER_MM / MM, self.cube_N_per_mm3 * N_PER_MM / MM**2
        return (PadPiece(0.0, 0.0, self.rate_N_per_mm * N_PER_MM, square, cube),)

    def limit(self) -> PadLimit | None:
        """Its height is not said."""
        return None

    def in_words(self) -> str:
        """`pad 80 N/mm, progressive`."""
        grows = self.square_N_per_mm2 > 0.0 or self.cube_N_per_mm3 > 0.0
        return f"pad {self.rate_N_per_mm:g} N/mm{', progressive' if grows else ''}"

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """Its force over how far it is pressed."""
        law = pad_curve(self, 15.0)
        marks = (
            Note("rate_N_per_mm", law.on(0.15)),
            Note("square_N_per_mm2", law.on(0.5)),
            Note("cube_N_per_mm3", law.on(0.85)),
            Note("kind", law.on(1.0)),
        )
        return (Sketch(LAW_TITLE, "curve", law.shapes(), marks),)


class TablePad(Pad):
    """A pad that was measured: points of how far it is pressed and the force, straight between, the last slope kept
    beyond.

    Also called: measured bump stop, load-deflection curve
    """

    EXAMPLE: ClassVar[str] = 'kind = "table pad"\npoints = [[0, 0], [4, 300], [8, 800], [12, 1700], [16, 3400]]\n'

    kind: Literal["table pad"] = "table pad"

    points: Annotated[
        tuple[PointMm, ...],
        Axes("pressed, mm", "force, N"),
        Field(strict=False, min_length=2, max_length=MOST_PAD_PIECES + 1),
        Kept("as measured"),
    ]
    """Points [pressed mm, force N], both rising, the first [0, 0].

    Usual: four to six points, up to two thirds of the pad's height.
    Measure: bathroom scale in a vice or under a drill press: every 2 mm write down kilograms x 9.81.
    If wrong: the highest point decides: beyond it the last slope goes on, and a real pad does not.
    """

    @model_validator(mode="after")
    def _rises(self) -> TablePad:
        if self.points[0] != (0.0, 0.0):
            raise PlacedError("the first point of a pad is [0, 0]", "points", 0, allowed="[0, 0]")
        for i, ((x0, f0), (x1, f1)) in enumerate(itertools.pairwise(self.points), 1):
            if x1 <= x0 or f1 <= f0:
                raise PlacedError(
                    f"the pad's points must rise: [{x1:g}, {f1:g}] comes after [{x0:g}, {f0:g}]",
                    "points",
                    i,
                    allowed=f"above {x0:g} mm and above {f0:g} N",
                )
        return self

    def force_N(self, deflection_m: float) -> float:
        """Force pressed by `deflection_m` [m], N; 0 when not touched."""
        x = max(deflection_m, 0.0) / MM
        xs, fs = np.array(self.points).T
        if x <= xs[-1]:
            return float(np.interp(x, xs, fs))
        return float(fs[-1] + (x - xs[-1]) * (fs[-1] - fs[-2]) / (xs[-1] - xs[-2]))

    def energy_J(self, deflection_m: float) -> float:
        """Energy taken up [J], the area under `force_N`."""
        x = max(deflection_m, 0.0) / MM
        xs = [p[0] for p in self.points if p[0] < x] + [x]
        fs = [self.force_N(at * MM) for at in xs]
        return float(np.trapezoid(fs, xs)) * MM

    def pieces(self) -> tuple[PadPiece, ...]:
        """Straight from point to point."""
        return straight([(x * MM, force) for x, force in self.points])

    def limit(self) -> PadLimit | None:
        """As far as it was measured."""
        return PadLimit(self.points[-1][0], None, False)

    def in_words(self) -> str:
        """`pad of 1700 N at 12 mm`."""
        last, force = self.points[-1]
        return f"pad of {force:.0f} N at {last:g} mm"

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """Its force over how far it is pressed, with the points of the file."""
        law = pad_curve(self, 1.15 * self.points[-1][0])
        dots = tuple(disc("steel", *law.at(x * MM, force), 2.0) for x, force in self.points)
        last, force = self.points[-1]
        marks = (Note("points", law.at(last * MM, force)), Note("kind", law.on(1.0)))
        return (Sketch(LAW_TITLE, "curve", (*law.shapes(), *dots), marks),)


class RubberPad(Pad):
    """A rubber pad from hardness and size. An estimate: force = Ec A/3 (1/q^2 - q), q = height left / height. The
    statistical theory of rubber in compression with the bonded block's modulus (Gent & Lindley) for 3 G; past 70 %
    pressed the curve goes on straight.

    Also called: bump rubber, bump stop, rubber buffer, snubber
    """

    EXAMPLE: ClassVar[str] = 'kind = "rubber pad"\nhardness_irhd = 60\ndiameter_mm = 35\nheight_mm = 25\n'

    kind: Literal["rubber pad"] = "rubber pad"

    hardness_irhd: Annotated[float, Field(ge=rubber.HARDNESS_RANGE[0], le=rubber.HARDNESS_RANGE[1]), By(10)]
    """Hardness, IRHD, about the same number as Shore A.

    Usual: 50 to 70.
    Measure: durometer; or moulded in its side; or press it on a bathroom scale by a tenth of its height.
    If wrong: 10 up makes it one and a half to two times as stiff.
    Also called: Shore A, durometer, shore hardness
    """

    diameter_mm: Annotated[StockMm, By(5)]
    """Diameter of the pad, mm.

    Usual: 25 to 50.
    Measure: calliper over the rubber, nothing on it.
    If wrong: its force goes with the square, and more: 10 % is a quarter.
    """

    height_mm: Annotated[StockMm, By(5)]
    """Height of the rubber, nothing on it, without the plate, mm.

    Usual: 15 to 30.
    Measure: calliper over all, less the plate.
    If wrong: a lower pad takes up less of a blow: the arm goes on to steel.
    """

    @property
    def _scale_N(self) -> float:
        e0, _, k = rubber.moduli(self.hardness_irhd)
        shape = rubber.disc_shape(self.diameter_mm, self.height_mm)
        modulus = rubber.compression_modulus(e0, k, shape, rubber.BULK_PA)
        return modulus * np.pi / 4.0 * (self.diameter_mm * MM) ** 2 / 3.0

    def force_N(self, deflection_m: float) -> float:
        """Force pressed by `deflection_m` [m], N; 0 when not touched."""
        height = self.height_mm * MM
        x = max(deflection_m, 0.0)
        q = 1.0 - min(x / height, FLAT)
        over = max(x / height - FLAT, 0.0)
        return self._scale_N * (q**-2 - q + over * (2.0 * q**-3 + 1.0))

    def energy_J(self, deflection_m: float) -> float:
        """Energy taken up [J], the area under `force_N`."""
        height = self.height_mm * MM
        x = max(deflection_m, 0.0)
        q = 1.0 - min(x / height, FLAT)
        over = max(x / height - FLAT, 0.0)
        area = (1.0 / q - 1.0) - (1.0 - q**2) / 2.0
        area += over * (q**-2 - q) + over**2 / 2.0 * (2.0 * q**-3 + 1.0)
        return self._scale_N * height * area

    def pieces(self) -> tuple[PadPiece, ...]:
        """Cubics with the curve's own slopes."""
        height, scale = self.height_mm * MM, self._scale_N
        points = []
        for i in range(SMOOTH_PIECES + 1):
            q = 1.0 - FLAT * i / SMOOTH_PIECES
            points.append(((1.0 - q) * height, scale * (q**-2 - q), scale / height * (2.0 * q**-3 + 1.0)))
        return smooth(points)

    def limit(self) -> PadLimit | None:
        """Seven tenths of its height."""
        return PadLimit(FLAT * self.height_mm, self.height_mm, True)

    def in_words(self) -> str:
        """`rubber pad 35 x 25 mm, 60 IRHD`."""
        return f"rubber pad {self.diameter_mm:g} x {self.height_mm:g} mm, {self.hardness_irhd:g} IRHD"

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """From the side on its plate; its force over how far it is pressed."""
        half, high = 0.5 * self.diameter_mm, self.height_mm
        shapes = (box("rubber", -half, 0.0, half, high), box("steel", -1.3 * half, high, 1.3 * half, high + 5.0))
        marks = (
            Span("diameter_mm", (-half, 0.0), (half, 0.0), "x"),
            Span("height_mm", (half, 0.0), (half, high), "y"),
            Note("kind", (-0.5 * half, 0.7 * high)),
        )
        law = pad_curve(self, FLAT * high)
        curve = Sketch(LAW_TITLE, "curve", law.shapes(), (Note("hardness_irhd", law.on(0.7)),))
        return Sketch("the pad on its plate", "side", shapes, marks), curve


PADS: tuple[type[Pad], ...] = (CurvePad, TablePad, RubberPad)
"""Every pad."""

if TYPE_CHECKING:
    PadKind = Pad
else:
    PadKind = one_of(PADS)
"""Any pad, told apart by its `kind`."""
