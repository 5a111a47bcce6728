"""What a spring tells the workshop and the drawings: plain data, laid out by those who ask."""

from __future__ import annotations

from dataclasses import dataclass

from trundle.steel.materials import Steel
from trundle.steel.rebend import Floats


@dataclass(frozen=True)
class StockRow:
    """A row of the cut list for one spring: what, how many, of which stock and steel, how long (words, mm)."""

    what: str
    count: int
    stock: str
    steel: str
    length: str


@dataclass(frozen=True)
class MadeOf:
    """steel: what its stress is held against; None: nothing is, and `words` say why."""

    steel: Steel | None
    words: str = ""


@dataclass(frozen=True)
class Adjuster:
    """What can be set on the vehicle: a field of the spring, moved by `step` in the field's unit.

    words: the step as the builder says it. screwed_mm: how far its screw is in, mm; None: it has no screw.
    """

    field: str
    step: float
    words: str
    screwed_mm: float | None


@dataclass(frozen=True)
class Push:
    """Where a spring pushes on its arm, and how hard for each N.m of torque about the pivot.

    at_m: along the arm from the pivot [m]. along_per_m, across_per_m: force on the arm per torque, towards the axle and
    upwards, square to the arm [1/m]. All of the angles' shape.
    """

    at_m: Floats
    along_per_m: Floats
    across_per_m: Floats


@dataclass(frozen=True)
class ArmHole:
    """A hole that the spring wants in its arm: along it from the pivot, above the pivot-axle line, mm."""

    name: str
    along_mm: float
    above_mm: float
    diameter_mm: float


@dataclass(frozen=True)
class LeafCut:
    """One leaf of a stack, counted from the main leaf up [mm].

    radius: wanted, at the middle of the thickness. former: radius of the former's face that it springs back
    from, bent from flat; None if no radius does. strain: of its skin while bent there. tight: below the
    radius where cold bending risks a crack. pressed_Pa: what a clamp that presses it flat stresses it with for ever
    [Pa]; None where nothing does.
    """

    name: str
    length_mm: float
    radius_mm: float
    former_mm: float | None
    strain: float
    tight: bool
    pressed_Pa: float | None


@dataclass(frozen=True)
class LeafShape:
    """The main leaf in one state, called `where`: its chord, the rise over it, and how much of it is flat [mm]."""

    where: str
    chord_mm: float
    rise_mm: float
    flat_mm: float


@dataclass(frozen=True)
class Bending:
    """How to bend a spring to shape: all leaves of it, and its main leaf's template.

    what: what the sheet calls it. stock: its section in words, width_mm by thickness_mm of one leaf. flat_mm: length in
    the middle that is made flat on the bench. ordinates_mm: rows (x from the middle, y over the
    chord) of the main leaf as it is bent. flat_room_mm: how far each end of the fitted leaf moves out when pressed
    flat; bump_room_mm: at full bump, None if beyond any bent shape; given_room_mm: the room that the file gives, if it
    does. shapes: of the main leaf without load, on the bench first.
    """

    what: str
    stock: str
    width_mm: float
    thickness_mm: float
    flat_mm: float
    steel: str
    leaves: tuple[LeafCut, ...]
    ordinates_mm: Floats
    flat_room_mm: float
    bump_room_mm: float | None
    given_room_mm: float | None
    shapes: tuple[LeafShape, ...]


@dataclass(frozen=True)
class Pose:
    """How a spring stands, for drawing it: one arm, or the fore and the aft one.

    angles_rad: below the hull's horizontal [rad]. torques_Nm: what it puts on each arm [N.m]. sign: 1 for an arm
    that points forward, -1 back. arm_mm: pivot to axle. pivots_apart_mm: of two arms.
    """

    angles_rad: tuple[float, ...]
    torques_Nm: tuple[float, ...]
    sign: float
    arm_mm: float
    pivots_apart_mm: float = 0.0
