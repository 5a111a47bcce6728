"""What the springs have in common that only a stated rate stands for: nothing to buy, no place to bear, no stress."""

from __future__ import annotations

import numpy as np

from trundle.fields.shape import Shape, line
from trundle.fields.sketch import Around, Note, Sketch
from trundle.springs.answers import Adjuster, ArmHole, Bending, MadeOf, Pose, StockRow
from trundle.springs.base import ArmSpring
from trundle.springs.laws import Mount
from trundle.springs.on_arm import above_free, in_hull, on_arm


class StatedRate(ArmSpring):
    """A spring known by its rate alone."""

    def bears_m(self, mount: Mount) -> float:
        """Nothing says where it pushes: it is taken to turn the pivot."""
        return 0.0

    def made_of(self) -> MadeOf:
        """Of nothing that is known."""
        return MadeOf(None, "only a rate is given: no stress is known")

    def stock(self) -> tuple[StockRow, ...]:
        """There is no piece behind a rate."""
        return ()

    def adjuster(self) -> Adjuster | None:
        """None is known."""
        return None

    def bending(self, bump_deflection_m: float) -> Bending | None:
        """It is not bent."""
        return None

    def arm_holes(self) -> tuple[ArmHole, ...]:
        """None."""
        return ()

    def remarks(self, mount: Mount) -> tuple[str, ...]:
        """Nothing beyond its figures."""
        return ()

    def unranked(self) -> frozenset[str]:
        """Every field counts."""
        return frozenset()

    def shapes(self, pose: Pose) -> tuple[Shape, ...]:
        """A rate by itself has no shape: a spiral round the pivot stands for it."""
        turns = np.linspace(0.0, 4.0 * np.pi, 40)
        r = pose.arm_mm * (0.05 + 0.19 * turns / turns[-1])
        turned = turns - pose.sign * pose.angles_rad[0]
        return (line("spring", np.stack([r * np.cos(turned), r * np.sin(turned)], axis=1)),)

    def arm_sketch(self, around: Around, free_deg: float) -> Sketch:
        """Its arm from the side, with the angle at which it carries nothing, below level [deg]."""
        arm = on_arm(around, above_free(free_deg))
        lines, turn = arm.free("free_angle_deg", free_deg)
        shapes = (*lines, *arm.shapes(), *self.shapes(arm.pose()))
        marks = (turn, Note("kind", (0.0, 0.0)))
        return in_hull(Sketch("its arm", "side", shapes, marks), around)
