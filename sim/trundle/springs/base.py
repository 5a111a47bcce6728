"""The questions that every spring kind answers."""

from __future__ import annotations

from abc import abstractmethod
from typing import ClassVar

import numpy as np

from trundle.fields.kind import Kind
from trundle.fields.shape import Shape
from trundle.fields.sketch import Around, Sketch
from trundle.fields.step import Kept, steps_of
from trundle.springs.answers import Adjuster, ArmHole, Bending, MadeOf, Pose, Push, StockRow
from trundle.springs.doubtful import Doubts, On
from trundle.springs.figures import Figures, PairFigures, SpringFigures
from trundle.springs.laws import Arm, Floats, Mount, PairLaw, PivotLaw, SpringLaw
from trundle.springs.misfits import Beside, Misfits


class Spring(Kind):
    """Any spring. A kind derives from ArmSpring or PairSpring and answers everything that is abstract there."""

    arms: ClassVar[int]
    """How many arms one spring works on."""

    @abstractmethod
    def mounted(self, mount: Mount) -> SpringLaw:
        """Its law where it is put. Raises InputError if it cannot work there."""

    @abstractmethod
    def at(self, angles_rad: tuple[float, ...], mount: Mount) -> Figures:
        """Its figures with its arms at these angles [rad]."""

    @abstractmethod
    def bears_m(self, mount: Mount) -> float:
        """How far from the pivot it pushes on the arm [m]; 0 where it turns the pivot itself."""

    def push(self, angle_rad: Floats, mount: Mount) -> Push | None:
        """How it pushes on an arm at these angles [rad]; None where it turns the pivot itself.

        Square to the arm, `bears_m` from the pivot, where a kind knows no better.
        """
        at = self.bears_m(mount)
        if at <= 0.0:
            return None
        return Push(np.full_like(angle_rad, at), np.zeros_like(angle_rad), np.full_like(angle_rad, -1.0 / at))

    @abstractmethod
    def made_of(self) -> MadeOf:
        """What its stress is held against."""

    @abstractmethod
    def stock(self) -> tuple[StockRow, ...]:
        """Its rows of the cut list, for one spring; none for a spring that only a rate stands for."""

    @abstractmethod
    def adjuster(self) -> Adjuster | None:
        """What can be set on the vehicle, if anything."""

    @abstractmethod
    def bending(self, bump_deflection_m: float) -> Bending | None:
        """How it is bent to shape, if it is; bump_deflection_m: how far its ends are lifted at full bump [m]."""

    @abstractmethod
    def arm_holes(self) -> tuple[ArmHole, ...]:
        """Holes that it wants in its arm."""

    @abstractmethod
    def remarks(self, mount: Mount) -> tuple[str, ...]:
        """What the sheet has to say of it at any load: how its law is taken, what to mind when buying it."""

    @abstractmethod
    def unranked(self) -> frozenset[str]:
        """Its fields that change no figure of the standing sheet, so the sensitivity leaves them out."""

    @abstractmethod
    def doubtful(self, on: On) -> Doubts:
        """What is possible on such an arm but looks like a slip of the pen, by field."""

    @property
    def wide_mm(self) -> float:
        """How wide it is where it stands on its arm, across the vehicle [mm]; 0: its fields do not say."""
        return 0.0

    def misfits(self, beside: Beside) -> Misfits:
        """What of it is in the way of arm, plates or wheels; nothing where its fields say nothing of its own size."""
        yield from ()

    def not_in_file(self) -> tuple[str, ...]:
        """What of its place no field says, so that nobody can check whether it fits, in words."""
        return ()

    def strip_width_field(self) -> str | None:
        """Its field that says how wide a strip it is made of, if strips can be ripped from wider ones; None if not."""
        return None

    @property
    def sized_by(self) -> str:
        """Its fields by which a builder makes it stronger or weaker, for messages."""
        steps = steps_of(type(self))
        named = [
            n for n, s in steps.items() if s is not None and not isinstance(s, Kept) and getattr(self, n) is not None
        ]
        return ", ".join(named)

    @abstractmethod
    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """Views of it that between them show every field."""

    @abstractmethod
    def shapes(self, pose: Pose) -> tuple[Shape, ...]:
        """How it looks from the side: hull axes, mm, from the pivot (of two arms: from the middle between them)."""


class ArmSpring(Spring):
    """A spring that works on one arm."""

    arms: ClassVar[int] = 1

    @abstractmethod
    def law(self, arm: Arm) -> PivotLaw:
        """The spring's law on this arm. Raises InputError if it cannot work there."""

    @abstractmethod
    def figures(self, angle_rad: float, arm: Arm) -> SpringFigures:
        """Its figures with the arm at this angle [rad]."""

    def mounted(self, mount: Mount) -> SpringLaw:
        """The law on the mount's arm."""
        law = self.law(mount.arm)
        return SpringLaw(law, None, law.friction_Nm, law.damp_bump_N_s_per_m, law.damp_droop_N_s_per_m)

    def at(self, angles_rad: tuple[float, ...], mount: Mount) -> SpringFigures:
        """The figures at the one angle."""
        (angle,) = angles_rad
        return self.figures(angle, mount.arm)


class PairSpring(Spring):
    """A spring shared by two arms."""

    arms: ClassVar[int] = 2

    @abstractmethod
    def pair_law(self, pair: Mount) -> PairLaw:
        """The spring's law in this pair. Raises InputError if it cannot work there."""

    @abstractmethod
    def figures(self, fore_rad: float, aft_rad: float, pair: Mount) -> PairFigures:
        """Its figures with the two arms at these angles [rad]."""

    def mounted(self, mount: Mount) -> SpringLaw:
        """The law in the mount's pair; it damps nothing."""
        law = self.pair_law(mount)
        return SpringLaw(None, law, law.friction_Nm, 0.0, 0.0)

    def at(self, angles_rad: tuple[float, ...], mount: Mount) -> PairFigures:
        """The figures at the two angles."""
        fore, aft = angles_rad
        return self.figures(fore, aft, mount)
