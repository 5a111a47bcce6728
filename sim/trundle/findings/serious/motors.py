"""Motors that get too hot or stand stalled, a battery that is empty or whose fuse goes, a speed that is not reached."""

from __future__ import annotations

from collections.abc import Iterator

from trundle.findings.finding import Finding, Harm
from trundle.findings.grades import Grade
from trundle.findings.motor_use import AMPS_OVER_S, motor_use
from trundle.findings.serious.case import NOT_KEPT, Case, in_so_many, worry
from trundle.findings.serious.causes import seen_from
from trundle.findings.words import place, seconds, speed, start, torque
from trundle.spec.electric import lasts_s

WARM_PERCENT, HOT_PERCENT = 85.0, 100.0
"""Of what a motor may give for ever: from here on little is left (our own line: turning, which a side view does not
see, comes on top); more than that it stands only for a while."""

STALLED_S = 0.5
"""A motor that stands so long under all that it can give is worth a word (our own line, no source)."""

SHORT_OF = 0.97
"""Slower than this share of what is asked, a motor that can do no more does not reach its speed."""


def too_hot(case: Case) -> Iterator[Finding]:
    """R.m.s. torque over the continuous rating: what would cook if it went on so; and what does in this very run."""
    figure, now = "motor_rms_of_rating_percent", "motor_warmest_percent"
    if not case.has(figure):
        return
    cooked, of = case.often(now, lambda v: v > HOT_PERCENT) if case.has(now) else (0, case.runs)
    if cooked:
        short = f"{_motors(case)} cook on this course{in_so_many(cooked, of)}"
        text = f"{start(short)}: begun cold, {case.sized(now)} of the heat that they stand. {_why(case)}"
        grade = Grade.FAIL if 2 * cooked >= of else Grade.RISK
        yield Finding(Harm.BREAKS, grade, case.middle(now) / HOT_PERCENT, short, text, now, "motor")
        return
    count, of = case.often(figure, lambda v: v > HOT_PERCENT)
    size = case.middle(figure) / HOT_PERCENT
    if count:
        short = f"{_motors(case)} get too hot if it goes on like this{in_so_many(count, of)}"
        text = f"{start(short)}: {_why(case)} {_how_long(case)}"
        yield Finding(Harm.BREAKS, worry(count, of), size, short, text, figure, "motor")
    elif case.middle(figure) > WARM_PERCENT:
        short = f"{_motors(case)} nearly get too hot"
        text = f"{start(short)}: {_why(case)} Steering comes on top, which a side view does not see."
        yield Finding(Harm.NEARLY, Grade.NOTE, size, short, text, figure, "motor")


def stalls(case: Case) -> Iterator[Finding]:
    """Motors that stand under all that they can give."""
    figure = "motor_stalled_s"
    if not case.has(figure):
        return
    count, of = case.often(figure, lambda v: v > STALLED_S)
    if not count:
        return
    short = f"{_motors(case)} stand stalled for {seconds(case.worst(figure))}{in_so_many(count, of)}"
    size = case.worst(figure) / STALLED_S
    use = motor_use(case)
    first, end = use.stalled
    full = torque(use.motor.best[0][1])
    text = f"{start(short)} under full pull, {full} each: no air moves, and the current stays in one place"
    if (end - first) * case.dt_s <= STALLED_S:
        yield Finding(
            Harm.BREAKS, worry(count, of), size, short, f"{text} ({NOT_KEPT}).", figure, "motor"
        )  # fmt: skip
        return
    time, at = float(case.column("time_s")[first]), case.place_m(first)
    yield Finding(
        Harm.BREAKS, worry(count, of), size, short, f"{text}, {place(at)}.", figure, "motor", time, at,
        seen_from(case, time, at),
    )  # fmt: skip


def battery(case: Case) -> Iterator[Finding]:
    """More than the battery holds, or than it can give at once: the run knows neither, and goes on as if it could."""
    held = case.assembly.vehicle.drive.battery
    if held is None:
        return
    used, usable = "battery_course_Wh", held.energy_Wh * held.usable
    count, of = case.often(used, lambda v: v > usable)
    if count:
        short = f"the battery is empty before the end{in_so_many(count, of)}"
        text = f"{start(short)}: the course takes {case.sized(used)}, it gives {usable:.0f}."
        grade = Grade.FAIL if 2 * count >= of else Grade.RISK
        yield Finding(Harm.BREAKS, grade, case.middle(used) / usable, short, text, used, "battery")
    peak, most = "battery_peak_1s_A", held.most_A
    if most is None:
        return
    count, of = case.often(peak, lambda v: v > most)
    if count:
        short = f"the battery's fuse or controllers may cut out{in_so_many(count, of)}"
        text = (
            f"{start(short)}: {case.sized(peak)} over {seconds(AMPS_OVER_S)} where the file allows {most:g} "
            f"(drive.battery.most_A)."
        )
        yield Finding(Harm.BREAKS, worry(count, of), case.middle(peak) / most, short, text, peak, "battery")


def too_slow(case: Case) -> Iterator[Finding]:
    """The driver asks for more than the motors do with nothing to pull."""
    if case.assembly.vehicle.drive.motor is None:
        return
    fastest, asked = motor_use(case).pull.fastest_m_s, float(abs(case.column("drive.target_m_s")).max())
    if asked * SHORT_OF > fastest:
        short = f"it is asked for {speed(asked)}, and its motors end at {speed(fastest)}"
        text = f"{start(short)}, with nothing to pull: a lower drive.motor.ratio is faster, and pulls less."
        yield Finding(Harm.NEARLY, Grade.NOTE, asked / fastest, short, text, "duration_s", "motor")


def _motors(case: Case) -> str:
    motor = case.assembly.vehicle.drive.motor
    return "the motors" if motor is None or motor.count > 1 else "the motor"


def _why(case: Case) -> str:
    rms, share = case.sized("rms_motor_torque_Nm", torque), case.sized("motor_rms_of_rating_percent")
    for_ever = motor_use(case).motor.for_ever_Nm or 0.0
    return f"One gives {rms} r.m.s., {share} of the {for_ever:g} N·m that it may give for ever."


def _how_long(case: Case) -> str:
    """For how long it may be over, as far as the file tells."""
    motor = motor_use(case).motor
    if motor.heats_up_s is None:
        return "For how long it stands that hangs on how fast it warms up: give drive.motor.heats_up_s."
    lasts = lasts_s(case.middle("motor_rms_of_rating_percent") / 100.0, motor.heats_up_s)
    return f"Begun cold, it stands that for about {lasts / 60.0:.0f} min." if lasts < 36_000.0 else ""
