"""What coils have in common that are pressed between two seats, wound by the builder or bought."""

from __future__ import annotations

from abc import abstractmethod
from functools import partial

import numpy as np

from trundle.errors import InputError
from trundle.fields.base import PlacedError
from trundle.fields.shape import Shape, line
from trundle.fields.sketch import Around, Sketch
from trundle.springs.answers import ArmHole, Bending, Pose
from trundle.springs.bearing import refuse
from trundle.springs.between_seats import BetweenSeats
from trundle.springs.coil_drawing import section_sketch
from trundle.springs.figures import SpringFigures
from trundle.springs.laws import Arm, Floats, Mount, PivotLaw
from trundle.springs.misfits import Beside, Misfits, between_tyres
from trundle.steel import coil as formulas
from trundle.steel.materials import Steel, steel
from trundle.steel.wire import WIRES, drawn_wire
from trundle.units import MM

SOLID_TIMES = 20.0
"""A coil pressed solid is this many times stiffer than before. Touching wire is stiffer still; this is enough
to stop the arm within a few mm and keeps the step of a run bounded. A hull should never rest on it."""


def coil_steel(name: str, wire_m: float) -> Steel:
    """The steel of a coil by its name: drawn wire, whose strength hangs on its diameter [m], or any spring steel."""
    return drawn_wire(name, wire_m) if name in WIRES else steel(name)


def drawn_as(name: str, wire_mm: float) -> None:
    """Raises PlacedError at `wire_mm` where a drawn wire of that name is not drawn to that diameter [mm]."""
    if name in WIRES:
        try:
            drawn_wire(name, wire_mm * MM)
        except InputError as e:
            (found,) = e.problems
            raise PlacedError(found.problem, "wire_mm", allowed=found.allowed) from None


class PressedCoil(BetweenSeats):
    """Pushes along the line between its two seats; a loose coil pushes nothing.

    The bending of the coil as its seats tilt is left out. Pressed solid it gets 20 times its rate on top.
    """

    @property
    @abstractmethod
    def rate_N_per_m(self) -> float:
        """Rate of the coil along its axis [N/m]."""

    @property
    @abstractmethod
    def free_m(self) -> float:
        """Length off the vehicle [m]."""

    @property
    @abstractmethod
    def solid_m(self) -> float:
        """Length with all coils touching [m]."""

    @property
    @abstractmethod
    def wound_of(self) -> tuple[float, float, Steel] | None:
        """Wire and mean diameter [m], and its steel; None where they are not known, and so no stress."""

    @property
    @abstractmethod
    def drawn_as_mm(self) -> tuple[float, float, float]:
        """Wire and mean diameter [mm] and how many turns it is drawn with."""

    def push_N(self, length_m: Floats) -> Floats:
        """Force along the coil [N], 0 once it is loose."""
        short = np.maximum(self.free_m - length_m, 0.0)
        solid = np.maximum(self.solid_m - length_m, 0.0)
        return np.asarray(self.rate_N_per_m * (short + SOLID_TIMES * solid))

    def law(self, arm: Arm) -> PivotLaw:
        """The coil's law on this arm.

        Raises InputError if it is loose everywhere, lifts the axle somewhere, or has its seats meet.
        """
        angles = arm.angles()
        torque = self._torque(angles, "coil", self.drawn_as_mm[0] * MM)
        least = float(self._length(angles)[0].min())
        if least >= self.free_m:
            gap = (least - self.free_m) / MM
            raise refuse(
                f"the coil never touches both seats: they come no closer than {least / MM:.0f} mm, "
                f"{gap:.0f} mm more than its free length",
                "free_length_mm",
            )
        return PivotLaw(angles, torque)

    def figures(self, angle_rad: float, arm: Arm) -> SpringFigures:
        """Torque, coil load, compression, Wahl shear stress, stored energy at `angle_rad` [rad]."""
        length, turn = self._at(angle_rad)
        load = float(self.push_N(np.array([length]))[0])
        short = max(self.free_m - length, 0.0)
        solid = max(self.solid_m - length, 0.0)
        energy = 0.5 * self.rate_N_per_m * (short**2 + SOLID_TIMES * solid**2)
        notes = ["the coil is pressed solid"] if solid > 0 else []
        if (wound := self.wound_of) is None:
            return SpringFigures(load * turn, load, short, "m", 0.0, "none", energy, notes_of=partial(tuple, notes))
        wire, mean, of = wound
        # Past solid the extra load goes through touching wire and bends nothing further.
        twisting = self.rate_N_per_m * (short - solid)
        if not 4.0 <= mean / wire <= 12.0:
            notes.append(
                f"index D/d (mean_diameter_mm over wire_mm) = {mean / wire:.1f}: outside 4 to 12 it is hard to wind or "
                "tangles"
            )
        if self.free_m > formulas.slender_limit(mean):
            notes.append("slender coil: it can buckle unless guided by a rod or tube")
        return SpringFigures(
            load * turn,
            load,
            short,
            "m",
            formulas.stress(wire, mean, twisting),
            "shear",
            energy,
            of.shear_yield_Pa,
            partial(tuple, notes),
        )

    def bending(self, bump_deflection_m: float) -> Bending | None:
        """It is wound, not bent to a former."""
        return None

    def arm_holes(self) -> tuple[ArmHole, ...]:
        """None: its seat is welded or turned on."""
        return ()

    def remarks(self, mount: Mount) -> tuple[str, ...]:
        """Nothing beyond its figures."""
        return ()

    @property
    def wide_mm(self) -> float:
        """Over its turns; 0 where wire and diameter are not given."""
        return sum(self.drawn_as_mm[:2]) if self.wound_of is not None else 0.0

    def misfits(self, beside: Beside) -> Misfits:
        """Its seat on the arm's top, its turns between the wheels."""
        if beside.arm_top_mm is not None and self.above_arm_mm < beside.arm_top_mm - 0.05:
            yield (
                "above_arm_mm",
                f"its lower seat lies {beside.arm_top_mm - self.above_arm_mm:g} mm below the arm's upper face",
                f"{beside.arm_top_mm:g} or more, and anchor_mm higher by as much",
            )
        outside = self.wide_mm
        if outside > 0.0 and beside.mount.arm.length_m / MM - self.on_arm_mm - 0.5 * outside < beside.tyre_radius_mm:
            yield from between_tyres("the coil", outside, beside)

    def shapes(self, pose: Pose) -> tuple[Shape, ...]:
        """Its turns as a zigzag between the seats; a loose coil, shorter than the room it has, stands on the arm."""
        low, high = self._seats_mm(pose)
        wire_mm, mean_mm, turns = self.drawn_as_mm
        between = high - low
        room = max(float(np.hypot(*between)), 1e-6)
        along = between / room
        across = np.array([-along[1], along[0]]) * 0.5 * mean_mm
        n = max(2, round(2.0 * turns))
        t = np.linspace(0.0, min(room, self.free_m / MM), n + 1)
        swing = np.where(np.arange(n + 1) % 2 == 0, -1.0, 1.0)
        return (line("spring", low + t[:, None] * along + swing[:, None] * across, wire_mm),)

    @property
    @abstractmethod
    def dead_coils(self) -> float:
        """Of the turns that it is drawn with, those at the ends that do not open."""

    @abstractmethod
    def measured(self) -> frozenset[str]:
        """Its fields that are measured on the coil itself and given."""

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """On its arm from the side, and cut through by itself."""
        wire, mean, turns = self.drawn_as_mm
        free, solid = self.free_m / MM, self.solid_m / MM
        cut = section_sketch(wire, mean, turns, self.dead_coils, free, solid, self.measured())
        return self.arm_sketch(around), cut
