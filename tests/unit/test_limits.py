"""The search for what a vehicle can do at most."""

from __future__ import annotations

import math
from dataclasses import dataclass
from types import SimpleNamespace
from typing import Any

import pytest
from click.testing import CliRunner
from record_parts import assembly_of

from trundle.errors import InputError
from trundle.findings.finding import Finding, Harm
from trundle.findings.grades import Grade
from trundle.model.assembly import Assembly
from trundle.result import limits
from trundle.result.limits import highest_kerb, ramp_course, steepest_hold, steepest_ramp, trial
from trundle.spec.course import Course
from trundle.terrain.edges import KerbUp
from trundle.terrain.ground import lay
from trundle.terrain.hollows import Trench

BARROW = "barrow"


@dataclass
class Fake:
    """A run that gets past everything below a size, and comes to harm from another on."""

    size: float
    below: float
    harmed_from: float
    trusted: bool = True
    near: None = None

    @property
    def summary(self) -> dict[str, Any]:
        """Its hardest blow is as many g as its size."""
        return {"peak_seat_forward_g": self.size, "peak_seat_g": 0.5 * self.size, "peak_belly_load_N": 10.0 * self.size}

    @property
    def verdict(self) -> Any:
        """One finding, if it harms."""
        bad = [Finding(Harm.BREAKS, Grade.FAIL, 1.0, "the arms bend", "", "")] if self.size >= self.harmed_from else []
        return SimpleNamespace(findings=tuple(bad))


def search_with(
    monkeypatch: pytest.MonkeyPatch, below: float, harmed_from: float = math.inf, **untrusted: Any
) -> tuple[list[float], list[float]]:
    """Replace the engine by a rule; gives the list of sizes tried and of steps used."""
    sizes: list[float] = []
    steps: list[float] = []

    def run(vehicle: Any, course: Course, *, speed_m_s: float | None, near: int, dt_ms: float = 1.0) -> Any:
        obstacle = course.obstacle[0]
        assert isinstance(obstacle, KerbUp | Trench)
        size = obstacle.height_mm if isinstance(obstacle, KerbUp) else obstacle.bottom_mm
        sizes.append(size)
        steps.append(dt_ms)
        return Fake(size, below, harmed_from, trusted=size < untrusted.get("from_mm", math.inf))

    monkeypatch.setattr(trial, "run", run)
    monkeypatch.setattr(trial, "passed", lambda r: r.size < r.below)
    monkeypatch.setattr(trial, "why_not", lambda r: f"fails at {r.size:g}")
    return sizes, steps


@pytest.mark.parametrize("below", [3.0, 7.0, 61.0, 62.0, 147.0, 980.0])
def test_halving_finds_the_limit_to_its_step(monkeypatch: pytest.MonkeyPatch, below: float) -> None:
    """The largest multiple of 5 mm below the true limit, the reason from the first that failed, few runs."""
    sizes, _ = search_with(monkeypatch, below)
    found = highest_kerb(assembly_of(BARROW).vehicle)
    assert found.value == 5.0 * math.floor((below - 1e-9) / 5.0)
    assert found.failed_at == found.value + 5.0
    assert found.why == f"fails at {found.failed_at:g}"
    assert found.runs == trial.NEAR * len(sizes) <= 64
    assert len(set(sizes)) == len(sizes)
    assert found.unharmed is not None
    assert found.unharmed.value == found.value  # nothing harms it before


@pytest.mark.parametrize("harmed_from", [5.0, 23.0, 60.0, 101.0, 146.0])
def test_the_largest_size_without_harm_stands_beside_the_limit(
    monkeypatch: pytest.MonkeyPatch, harmed_from: float
) -> None:
    """The largest multiple of 5 mm below the size from which it harms, what it does there, and both hardest blows."""
    search_with(monkeypatch, 147.0, harmed_from)
    found = highest_kerb(assembly_of(BARROW).vehicle)
    assert found.value == 145.0
    safe = found.unharmed
    assert safe is not None
    assert safe.value == 5.0 * math.floor((harmed_from - 1e-9) / 5.0)
    assert (safe.harmed_at, safe.why) == (safe.value + 5.0, "the arms bend")
    assert found.hit == "145 g along at the seat, belly 1.4 kN"


@pytest.mark.parametrize(("below", "value", "failed_at"), [(0.0, 0.0, 20.0), (15.0, 0.0, 20.0), (25.0, 20.0, 30.0)])
def test_a_vehicle_that_the_narrowest_ditch_stops(
    monkeypatch: pytest.MonkeyPatch, below: float, value: float, failed_at: float
) -> None:
    """No ditch is narrower than 20 mm on a course, so none is tried; the limit is then 0."""
    sizes, _ = search_with(monkeypatch, below)
    found = limits.widest_ditch(assembly_of(BARROW).vehicle)
    assert (found.value, found.failed_at, min(sizes)) == (value, failed_at, 20.0)
    assert len(set(sizes)) == len(sizes)


def test_a_speed_that_no_course_is_long_enough_for_is_refused() -> None:
    """v^2 / 2a = 30^2 / (2 x 0.01) m = 45 km."""
    vehicle = assembly_of(BARROW).vehicle
    slow = vehicle.model_copy(update={"drive": vehicle.drive.model_copy(update={"acceleration_m_s2": 0.01})})
    with pytest.raises(InputError, match="45,000 m to reach 30 m/s"):
        highest_kerb(slow, 30.0)


def test_nothing_stops_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """Then the limit is said to be the last size tried, or more."""
    search_with(monkeypatch, math.inf)
    found = highest_kerb(assembly_of(BARROW).vehicle)
    assert (found.said, found.failed_at) == ("1000 mm or more", None)


def test_a_pass_that_is_not_to_be_trusted_is_run_again_finer_and_else_not_counted(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """From 200 mm on the ledger does not close, though it gets past up to 300: the answer stays below 200."""
    _, steps = search_with(monkeypatch, 300.0, from_mm=200.0)
    found = highest_kerb(assembly_of(BARROW).vehicle)
    assert found.value == 195.0
    assert set(trial.FINER_MS) <= set(steps)
    assert found.doubtful > 0


def test_progress_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each try by name, with a share that never goes back or reaches the end too soon."""
    search_with(monkeypatch, 147.0)
    told: list[tuple[str, float]] = []
    highest_kerb(assembly_of(BARROW).vehicle, on_progress=lambda words, share: told.append((words, share)))
    assert told[0] == ("kerb climbed: 60 mm", 0.0)
    shares = [share for _, share in told]
    assert shares == sorted(shares)
    assert shares[-1] < 1.0


@pytest.mark.parametrize("speed", [-1.0, 0.0, 1e9, math.nan])
def test_an_impossible_speed_is_refused(speed: float) -> None:
    """Before anything is run."""
    with pytest.raises(InputError, match="speed_m_s"):
        limits.limits(assembly_of(BARROW).vehicle, speed_m_s=speed)


@pytest.mark.parametrize("slope", [5.0, 30.0, 60.0])
def test_ramp_course_has_its_slope_all_the_way(slope: float) -> None:
    """Also where it takes several ramps one on the other; the surface is 2.5 vehicles long."""
    ground = lay(ramp_course(slope, 2000.0))
    begin = ground.spans[1][1]
    rise = float(ground.height_m[-1] - ground.height_at(begin))
    run = ground.length_m - begin
    assert math.degrees(math.atan2(rise, run)) == pytest.approx(slope, abs=0.3)
    assert math.hypot(rise, run) == pytest.approx(5.0, rel=0.01)


def held(grip: float, brake_N: float, assembly: Assembly) -> Any:
    """The slope held with another grip and brake."""
    vehicle = assembly.vehicle
    drive = vehicle.drive.model_copy(update={"grip": grip, "brake_N": brake_N})
    return steepest_hold(vehicle.model_copy(update={"drive": drive}))


def test_the_slope_held_is_that_of_statics() -> None:
    """Grip alone: atan(0.2) = 11.31 deg. Brake alone, a third of the weight: asin(1/3) = 19.47 deg."""
    assembly = assembly_of(BARROW)
    slides = held(0.2, 1e5, assembly)
    assert (slides.value, slides.why.split(":")[0]) == (11.0, "grip")
    slips = held(1.5, assembly.weight_N / 3.0, assembly)
    assert (slips.value, slips.why.split(":")[0]) == (19.0, "brake")
    tips = held(1.5, 2e5, assembly)
    assert tips.value > 19.0
    assert tips.why.split(":")[0] in ("overturning", "grip")


def test_a_ramp_is_climbed_up_to_the_angle_of_grip() -> None:
    """A wheeled vehicle, all wheels driven, at a crawl: statics says tan(limit) = grip, 8.53 deg at 0.15.

    0.3 m/s carries it v^2 / 2g = 5 mm up at most; half a degree is the search's own step, and one more is
    allowed for the vehicle that creeps so slowly near the limit that it counts as stalled.
    """
    vehicle = assembly_of(BARROW).vehicle
    drive = vehicle.drive.model_copy(update={"grip": 0.15})
    found = steepest_ramp(vehicle.model_copy(update={"drive": drive}), speed_m_s=0.3)
    assert 7.5 <= found.value <= 8.5
    assert found.why.startswith("grip")


def test_the_command_names_what_is_wrong() -> None:
    """An unknown vehicle and an impossible speed are input errors, not tracebacks."""
    from trundle.cli.limits import limits as command

    answer = CliRunner().invoke(command, ["no-such-vehicle"])
    assert isinstance(answer.exception, InputError)
    answer = CliRunner().invoke(command, [BARROW, "--speed", "-2"])
    assert isinstance(answer.exception, InputError)
