"""Figures of a spring at one arm angle, for the sheet and the report."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, Protocol

from trundle.steel.beams import beam_theory_error

BEAM_THEORY_OFF = 0.03
"""Above this share the large-deflection effect is reported."""

Measure = Literal["bending", "shear", "compression", "none"]
"""What the stress is: bending, shear, compression (rubber, nominal); none where only a rate is given."""


Unit = Literal["m", "rad"]
"""What a deflection is measured in: m (leaf end, coil, block, axle) or rad (twist)."""


@dataclass(frozen=True)
class Fitted:
    """Stress that fitting alone leaves in a piece, for ever.

    stress_Pa: the largest [Pa]. how: what does it, as the builder says it. remedy: what takes it away, likewise.
    """

    stress_Pa: float
    how: str
    remedy: str


class Figures(Protocol):
    """What the figures of any spring have in common, at stated angles of its arm or arms.

    torques_Nm: about each of its pivots, positive pushes the axle down [N.m]. top_load_N, top_deflection: of the
    heavier end. The rest as in SpringFigures.

    load_stress_Pa: the largest stress that the load makes. fitted: what fitting alone does, if anything; it stays
    where it is, beside what the load makes. stress_Pa: the larger one of both. where: its place, as the builder says
    it; empty where there is but one.
    """

    @property
    def torques_Nm(self) -> tuple[float, ...]: ...
    @property
    def top_load_N(self) -> float: ...
    @property
    def top_deflection(self) -> float: ...
    @property
    def deflection_unit(self) -> Unit: ...
    @property
    def stress_Pa(self) -> float: ...
    @property
    def load_stress_Pa(self) -> float: ...
    @property
    def fitted(self) -> Fitted | None: ...
    @property
    def where(self) -> str: ...
    @property
    def measure(self) -> Measure: ...
    @property
    def energy_J(self) -> float: ...
    @property
    def yield_Pa(self) -> float: ...
    @property
    def notes(self) -> tuple[str, ...]: ...


@dataclass(frozen=True)
class SpringFigures:
    """One side's spring on one arm, at one arm angle.

    torque_Nm: about the pivot, positive pushes the axle down [N.m].
    load_N: the spring's own load (leaf end, coil, block) [N]; 0 for a bar, which only has torque.
    deflection: of the spring itself, in `deflection_unit`.
    load_stress_Pa, measure: the largest stress that the load makes and its kind [Pa]. energy_J: stored [J].
    yield_Pa: what `stress_Pa` must stay under, on the same measure; inf where no steel is known.
    notes: plain words where the law is at its limit, worked out when asked for (bent shapes take a while).
    """

    torque_Nm: float
    load_N: float
    deflection: float
    deflection_unit: Unit
    load_stress_Pa: float
    measure: Measure
    energy_J: float
    yield_Pa: float = float("inf")
    notes_of: Callable[[], tuple[str, ...]] = tuple
    where: str = ""
    fitted: Fitted | None = None

    @property
    def stress_Pa(self) -> float:
        """The largest stress [Pa]."""
        return _largest(self.load_stress_Pa, self.fitted)

    @property
    def torques_Nm(self) -> tuple[float, ...]:
        """The one torque [N.m]."""
        return (self.torque_Nm,)

    @property
    def top_load_N(self) -> float:
        """The load [N]."""
        return self.load_N

    @property
    def top_deflection(self) -> float:
        """The deflection, in `deflection_unit`."""
        return self.deflection

    @property
    def notes(self) -> tuple[str, ...]:
        """The notes, worked out now."""
        return self.notes_of()


@dataclass(frozen=True)
class PairFigures:
    """One side's leaf across two arms, at two arm angles; row 0 the fore arm, row 1 the aft arm.

    torque_Nm, load_N, deflection_m: at the two ends. rock_load_N: force at a pivot sleeve that the rocking
    leaf presses on. seat_load_N: the seat's total push. The rest as in SpringFigures.
    """

    torque_Nm: tuple[float, float]
    load_N: tuple[float, float]
    deflection_m: tuple[float, float]
    rock_load_N: float
    seat_load_N: float
    load_stress_Pa: float
    measure: Measure
    energy_J: float
    yield_Pa: float = float("inf")
    notes_of: Callable[[], tuple[str, ...]] = tuple
    where: str = ""
    fitted: Fitted | None = None

    @property
    def stress_Pa(self) -> float:
        """The largest stress [Pa]."""
        return _largest(self.load_stress_Pa, self.fitted)

    @property
    def torques_Nm(self) -> tuple[float, ...]:
        """Torque on the fore and on the aft arm [N.m]."""
        return self.torque_Nm

    @property
    def top_load_N(self) -> float:
        """Load of the heavier end [N]."""
        return max(self.load_N)

    @property
    def top_deflection(self) -> float:
        """Deflection of the end that is lifted more [m]."""
        return max(self.deflection_m)

    @property
    def deflection_unit(self) -> Unit:
        """Always m."""
        return "m"

    @property
    def notes(self) -> tuple[str, ...]:
        """The notes, worked out now."""
        return self.notes_of()


def _largest(load_stress_Pa: float, fitted: Fitted | None) -> float:
    return load_stress_Pa if fitted is None else max(load_stress_Pa, fitted.stress_Pa)


def beam_notes(
    lift_m: float,
    length_m: float,
    ei_Nm2: float,
    curvature_per_m: float = 0.0,
    held_m: float = 0.0,
    root_rad: float = 0.0,
) -> tuple[str, ...]:
    """A note if beam theory is more than 3 % off the exact bent shape; arguments as `beam_theory_error`."""
    try:
        off = beam_theory_error(lift_m, length_m, ei_Nm2, curvature_per_m, held_m, root_rad)
    except ArithmeticError:
        return ("bent too far for beam theory",)
    if abs(off) <= BEAM_THEORY_OFF:
        return ()
    word = "more" if off > 0 else "less"
    return (f"beam theory gives {abs(off):.0%} {word} load than the leaf's exact bent shape",)
