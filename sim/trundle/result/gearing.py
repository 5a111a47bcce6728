"""Which ratio suits a motor on a course: a run for each of several, the best of them rolled again close by."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from trundle.errors import InputError, Problem
from trundle.fields.speed import check_speed
from trundle.findings.climbs import climbs_of
from trundle.findings.gearing import FIGURES, Geared, Gearing, Trouble
from trundle.findings.grades import Grade
from trundle.result.inputs import GivenCourse, GivenVehicle, course_input, vehicle_input
from trundle.result.limits.why import passed, why_not
from trundle.result.result import Result
from trundle.result.run import run
from trundle.spec.course import Course
from trundle.spec.motor import Motor
from trundle.spec.vehicle import Vehicle

FACTOR = 1.25
"""From one ratio to the next (preferred numbers R10, ISO 3)."""

EACH_SIDE, MORE = 3, 10
"""Ratios tried on each side of the vehicle's own, and beyond the last while that is the best."""

LEAST, MOST = 0.05, 2_000.0
"""Ratios that a file may have."""

NEAR = 4
"""How often the best is rolled close by before it is proposed, and the vehicle's own."""

ALIKE = 0.02
"""Two ratios whose r.m.s. differ by a smaller share are as good as each other, and the vehicle's own stays."""

PARTS = ("motor", "battery")
"""Findings of these count against a ratio."""

WORDS = {
    "motor_warmest_percent": "cooks", "motor_rms_of_rating_percent": "too hot", "motor_stalled_s": "stalls",
    "battery_course_Wh": "battery empty", "battery_peak_1s_A": "fuse",
}  # fmt: skip
"""A word for each, by its figure."""

Tell = Callable[[str, float], None]
"""Told what is being tried and the share done, 0 to 1."""


def gearing(
    vehicle: GivenVehicle,
    course: GivenCourse,
    *,
    ratios: Sequence[float] | None = None,
    speed_m_s: float | None = None,
    on_progress: Tell | None = None,
) -> Gearing:
    """Which drive.motor.ratio suits a vehicle on a course, and what each does.

    vehicle, course: files, names of shipped ones, or objects; the vehicle needs a [drive.motor]. ratios: those to try
    beside its own (None: steps of a quarter to both sides, and further while it gets better). speed_m_s: target speed
    [m/s] in place of the files' own. on_progress: told what is being tried, and the share done. Raises InputError.
    """
    check_speed(speed_m_s)
    ours, over = vehicle_input(vehicle), course_input(course)
    with ours.blamed(), over.blamed():
        motor = ours.vehicle.drive.motor
        if motor is None:
            raise InputError(
                Problem(
                    "a ratio can be chosen for a motor whose torque over speed is known", field="drive.motor",
                    allowed="a table [drive.motor] in place of torque_Nm or push_N: trundle explain drive.motor",
                )
            )  # fmt: skip
        for ratio in ratios or ():
            if not LEAST <= ratio <= MOST:
                raise InputError(Problem(f"a ratio of {ratio:g}", argument="ratios", allowed=f"{LEAST:g} to {MOST:g}"))
        return _Search(ours.vehicle, motor, over.course, speed_m_s, on_progress).found(ratios)


@dataclass
class _Search:
    vehicle: Vehicle
    motor: Motor
    course: Course
    speed_m_s: float | None
    tell: Tell | None

    def found(self, ratios: Sequence[float] | None) -> Gearing:
        own = self.motor.ratio
        steps = range(-EACH_SIDE, EACH_SIDE + 1)
        wanted = {own, *(ratios if ratios is not None else (_tidy(own * FACTOR**k) for k in steps if k))}
        first = sorted(r for r in wanted if LEAST <= r <= MOST)
        tried = {r: self.roll(r, 1, k / (len(first) + 3)) for k, r in enumerate(first)}
        if ratios is None:
            for _ in range(MORE):
                edge = self._beyond(tried)
                if edge is None:
                    break
                tried[edge] = self.roll(edge, 1, 0.9)
        tried[own] = self.roll(own, NEAR, 0.93)
        best = self._confirmed(tried, own)
        rows = tuple(tried[r] for r in sorted(tried))
        return Gearing(self.vehicle.name, self.course.name or "the course", rows, tried[own], tried[best])

    def _ranked(self, tried: dict[float, Geared]) -> list[float]:
        quickest = min((one.duration_s for one in tried.values() if one.over), default=float("inf"))
        return sorted(tried, key=lambda r: tried[r].order(quickest))

    def _beyond(self, tried: dict[float, Geared]) -> float | None:
        """The next ratio behind the last one, if that is the best so far."""
        best = self._ranked(tried)[0]
        further = {max(tried): best * FACTOR, min(tried): best / FACTOR}.get(best)
        return None if further is None or not LEAST <= further <= MOST else _tidy(further)

    def _confirmed(self, tried: dict[float, Geared], own: float) -> float:
        """The best that stays the best when it is rolled close by; the own one if that is as good."""
        while True:
            best = self._ranked(tried)[0]
            if tried[best].runs == NEAR:
                break
            tried[best] = self.roll(best, NEAR, 0.96)
        quickest = min((one.duration_s for one in tried.values() if one.over), default=float("inf"))
        mine, other = tried[own].order(quickest), tried[best].order(quickest)
        return own if mine[:3] == other[:3] and mine[3] <= (1.0 + ALIKE) * other[3] else best

    def roll(self, ratio: float, near: int, share: float) -> Geared:
        """One ratio's runs."""
        if self.tell is not None:
            self.tell(f"ratio {ratio:g}", share)
        motor = self.motor.model_copy(update={"ratio": ratio})
        drive = self.vehicle.drive.model_copy(update={"motor": motor})
        vehicle = self.vehicle.model_copy(update={"drive": drive})
        result = run(vehicle, self.course, speed_m_s=self.speed_m_s, near=near)
        missed = [] if result.near is None else [k for k in range(len(result.near)) if k not in result.near.passed]
        over = passed(result) and result.trusted and not missed
        why = "" if over else why_not(result) if not passed(result) else f"not in {len(missed)} of {near} runs close by"
        asked = float(result.timeline["drive.target_m_s"].abs().max())
        if not over:
            # Held up, it may never have been asked for its speed.
            asked = max(asked, self.speed_m_s or vehicle.drive.speed_m_s)
        bad = [f for f in result.verdict.findings if f.part in PARTS and f.grade >= Grade.RISK]
        troubles = tuple(Trouble(f.short, WORDS[f.figure]) for f in bad)
        figures = {name: _middle(result, name) for name in FIGURES}
        climbs = climbs_of(vehicle, result.assembly.weight_N)
        time, far = float(result.summary["duration_s"]), float(result.summary["distance_m"])
        return Geared(ratio, climbs, over, why, asked, time, far, troubles, figures, near)


def _middle(result: Result, figure: str) -> float | None:
    """A figure's median over the runs; None if it is not given."""
    spread = result.near.spread(figure) if result.near is not None else None
    value = result.summary.get(figure) if spread is None else spread.median
    return None if value is None else float(value)


def _tidy(ratio: float) -> float:
    """To three figures."""
    return float(f"{ratio:.3g}")
