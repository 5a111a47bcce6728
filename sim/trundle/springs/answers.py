"""What a spring tells the workshop and the drawings: plain data, laid out by those who ask."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from trundle.steel.forms import Form, words
from trundle.steel.materials import Steel
from trundle.steel.rebend import Floats


@dataclass(frozen=True)
class StockRow:
    """What one spring is made of or bought as: pieces that are alike.

    count: for one spring. form, sizes_mm, steel: what it is cut from, as a merchant names it (`steel.forms`); None and
    empty: it is bought or wound ready, `asked` for in words. length_mm: that works as a spring; of what is bought
    ready as `measured` says. held_mm: what is cut besides it for what holds it, an estimate that `held` names; 0: none.
    middle_mm: the middle of the whole piece from the pivot, along the arm. title: what the piece is called. mass_kg:
    of one that is bought ready, from its sizes; None: the file does not say enough.
    """

    what: Literal["leaf", "torsion bar", "coil", "rubber block", "spring and damper", "gas strut"]
    count: int
    length_mm: float
    form: Form | None = None
    sizes_mm: tuple[float, ...] = ()
    steel: str = ""
    held_mm: float = 0.0
    held: str = ""
    middle_mm: float = 0.0
    title: str = ""
    asked: str = ""
    measured: str = ""
    mass_kg: float | None = None

    @property
    def cut_mm(self) -> float:
        """Length to cut, what is held counted in [mm]."""
        return self.length_mm + self.held_mm

    @property
    def stock(self) -> str:
        """What it is cut from, or asked for as, in words."""
        return self.asked if self.form is None else words(self.form, self.sizes_mm)

    @property
    def length(self) -> str:
        """How long, in words [mm]."""
        measured = f" {self.measured}" if self.measured else ""
        held = f" + {self.held}" if self.held else ""
        return f"{round(self.length_mm, 1):g}{measured}{held}"


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
    the middle that is made flat on the bench. steel: its name, metal: what it
    is. ordinates_mm: rows (x from the middle, y over the
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
    metal: Steel
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
