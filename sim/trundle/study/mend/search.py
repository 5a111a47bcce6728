"""Tries what a builder could change and finds what helps the worst finding of a run most."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from trundle.engine.cores import core_count
from trundle.errors import InputError, Problem
from trundle.fields.near import NEAR, check_near
from trundle.fields.speed import check_speed
from trundle.findings.figures import figure_of
from trundle.findings.finding import Finding
from trundle.result.inputs import CourseInput, GivenCourse, GivenVehicle, VehicleInput, course_input, vehicle_input
from trundle.result.result import Result
from trundle.study.engine import Engine, StudyStoppedError
from trundle.study.mend.aim import aim_of, check_figure
from trundle.study.mend.changes import Change, Lever, levers
from trundle.study.mend.found import Help
from trundle.study.mend.judge import STAYS, STILL, Gain, costs, gain, is_margin, is_mended, refusal, remains
from trundle.study.mend.mended import Mended
from trundle.study.mend.paste import lines
from trundle.study.mend.tried import SPEED, Task, Tried, nominal, roll, tried_of
from trundle.study.pool import Outcome, open_engine, run_all
from trundle.study.worker import DONE, REFUSED

FIRST = 1
"""Runs of the first look at every change: the one as asked, against the same of the vehicle as it is."""

LISTED = 3
"""Changes that are listed."""

TAKEN = 12
"""The most promising of the first look, one of each field, which are looked at again with all near runs: so many that
the best are among them though a single run has its luck."""

GONE_ON = 12
"""Those that are taken further where one step is not enough, the nearest to it."""

ALONE = 4
"""The most promising that are tried of one bogie alone as well, where the finding is of that one."""

NEARLY = 0.8
"""What helps by this share of what it does on all bogies is told of the one alone: the less there is to change."""

MOST_STEPS = 4
"""Steps that a change is taken to where a part still gives, or an obstacle still stops it, after the first."""

BUDGET_S = 600.0
"""Longest time one change may take [s]."""

Tell = Callable[[str, float], None]
"""Told what is going on and the share done, 0 to 1."""


def mend(
    vehicle: GivenVehicle,
    course: GivenCourse,
    *,
    figure: str | None = None,
    speed_m_s: float | None = None,
    near: int = NEAR,
    workers: int | None = None,
    on_progress: Tell | None = None,
) -> Mended:
    """What to change about the worst finding of a run: `mend("teasel", "kerb-100")`.

    Everything that a builder can change is changed, one thing at a time, by what each field says a step of it is, and
    the three that help most are told, with what they cost elsewhere. vehicle, course: files, names, or objects.
    figure: name of the figure to mend (None: that of the worst finding). speed_m_s: one target speed for the whole
    course [m/s]. near: near runs from which a help is told. workers: processes (None: one per core). on_progress: told
    what is going on, and the share done.

    Raises InputError for an argument or a file that is wrong, or if the vehicle cannot stand; KeyboardInterrupt if it
    is stopped.
    """
    check_speed(speed_m_s)
    check_near(near)
    if figure is not None:
        check_figure(figure)
    ours, over = vehicle_input(vehicle), course_input(course)
    return _Search(ours, over, figure, speed_m_s, near, workers, on_progress or (lambda what, share: None)).run()


@dataclass
class _Search:
    ours: VehicleInput
    over: CourseInput
    figure: str | None
    speed_m_s: float | None
    near: int
    workers: int | None
    tell: Tell
    runs: int = 0

    def run(self) -> Mended:
        self.tell("the run as it is", 0.0)
        with self.ours.blamed(), self.over.blamed():
            before = nominal(self._task({}, 1))
        first = tried_of(before)
        aim = aim_of(first.findings, self.figure)
        if aim is None:
            return Mended(before, None, None, (), {}, 0, 1, self.near)
        if first.range(aim.figure) is None:
            raise InputError(Problem(f"this run gives no {aim.figure}", argument="figure"))
        every = [one for one in levers(self.ours.vehicle) if is_margin(aim.figure) or not one.about_build]
        workers = core_count() if self.workers is None else self.workers
        with open_engine(min(workers, len(every) + 1), None) as engine:
            return self._searched(before, aim, every, engine)

    def _searched(self, before: Result, aim: Finding, every: Sequence[Lever], engine: Engine) -> Mended:
        few = min(FIRST, self.near)
        changes = [c for one in every if (c := one.change()) is not None]
        base, found = self._try(changes, few, engine, ("trying", 0.0, 0.5))
        sorted_out = _Sorted.of(aim, base, found)
        sorted_out = self._gone_on(aim, base, sorted_out, GONE_ON, few, engine, 0.5, 0.6)
        promising = sorted_out.best(TAKEN)
        again = [*promising, *_alone(aim, promising[:ALONE])]
        full, closer = self._try(again, self.near, engine, ("looking closer", 0.6, 0.9))
        # What is enough in one run need not be in all of those close by.
        last = self._gone_on(aim, full, _Sorted.of(aim, full, closer), LISTED, self.near, engine, 0.9, 1.0)
        refused = Counter(sorted_out.refused.values()) + Counter(last.refused.values())
        helps = [self._help(aim, full, change, *last.helping[change]) for change in last.best(LISTED)]
        tried = len(found) + sorted_out.further + last.further + len(again) - len(promising)
        nearest = "" if helps else _nearest(aim, last) or _nearest(aim, sorted_out)
        return Mended(
            before, aim, full.range(aim.figure), tuple(helps), dict(refused), tried, self.runs, self.near, nearest
        )

    def _gone_on(
        self, aim: Finding, base: Tried, first: _Sorted, most: int, runs: int, engine: Engine, begin: float, end: float
    ) -> _Sorted:
        """With more steps of those that help a part which still gives, or an obstacle which still stops it.

        most: so many of them; begin, end: what is done before and behind it, for the progress.
        """
        going = first.nearest(most)
        for round_ in range(MOST_STEPS - 1):
            further = [
                c for one in going if one.steps < MOST_STEPS and (c := one.lever.change(one.steps + 1)) is not None
            ]
            if not further:
                break
            each = (end - begin) / (MOST_STEPS - 1)
            told = ("further", begin + each * round_, begin + each * (round_ + 1))
            _, found = self._try(further, runs, engine, told)
            then = _Sorted.of(aim, base, found)
            first = first.and_(then)
            going = then.nearest(most)
        return first

    def _help(self, aim: Finding, full: Tried, change: Change, given: Gain, tried: Tried) -> Help:
        """With the run of it, for the picture, and the lines to paste."""
        task = self._task(change.settings, 1)
        after = nominal(task)
        settings = dict(change.settings)
        sets = [f"--set '{one}'" for one in change.sets(self.ours.vehicle.bogie)]
        if self.speed_m_s is not None and SPEED in settings:
            sets = [f"--speed {settings.pop(SPEED):g}"]
        pasted = lines(self.ours, settings, task.vehicle()) if settings else ()
        return Help(
            change.words, given, costs(aim, full, tried), remains(aim, full, tried), is_mended(aim, tried),
            " ".join(sets), pasted, after,
        )  # fmt: skip

    def _try(
        self, changes: Sequence[Change], runs: int, engine: Engine, told: tuple[str, float, float]
    ) -> tuple[Tried, dict[Change, Tried | str]]:
        """The vehicle as it is, and each change: what came of it, or why nothing did."""
        what, begin, end = told
        tasks = [("", self._task({}, runs)), *((str(i), self._task(c.settings, runs)) for i, c in enumerate(changes))]
        outcomes: dict[str, Outcome] = {}

        def keep(outcome: Outcome) -> None:
            outcomes[outcome.key] = outcome
            share = begin + (end - begin) * len(outcomes) / len(tasks)
            self.tell(f"{what}: {len(outcomes)} of {len(tasks)}", share)

        tally = run_all(tasks, roll, keep, engine=engine, budget_s=BUDGET_S)
        if tally.interrupted:
            raise KeyboardInterrupt
        self.runs += runs * len(tasks)
        base = outcomes[""]
        if base.kind != DONE:
            raise StudyStoppedError(Problem(f"the vehicle as it is could not be run again: {base.reason}"))
        return base.value, {c: _came(outcomes[str(i)]) for i, c in enumerate(changes)}

    def _task(self, settings: Mapping[str, Any], runs: int) -> Task:
        return Task(self.ours.text_as_used(), settings, self.over.course, self.speed_m_s, runs)


def _nearest(aim: Finding, found: _Sorted) -> str:
    """The change that comes nearest without being enough, in words; "" if none comes nearer."""
    if not found.stronger:
        return ""
    change = found.nearest(1)[0]
    figure = figure_of(aim.figure)
    return f"{change.words}: {figure.title} {figure.text(found.stronger[change].after.median)}, {found.refused[change]}"


def _came(outcome: Outcome) -> Tried | str:
    if outcome.kind == DONE:
        found: Tried = outcome.value
        return found
    return "does not fit or stand" if outcome.kind == REFUSED else "could not be worked out"


@dataclass(frozen=True)
class _Sorted:
    """What came of some changes. helping: with what they give, and how; refused: why; further: tried beyond a step."""

    helping: Mapping[Change, tuple[Gain, Tried]]
    refused: Mapping[Change, str]
    stronger: Mapping[Change, Gain]
    further: int = 0

    @classmethod
    def of(cls, aim: Finding, base: Tried, found: Mapping[Change, Tried | str]) -> _Sorted:
        helping, refused, stronger = {}, {}, {}
        for change, tried in found.items():
            why = tried if isinstance(tried, str) else refusal(aim, base, tried)
            given = None if isinstance(tried, str) else gain(aim, base, tried)
            if why:
                refused[change] = why
                motor = why == STAYS and change.lever.about_drive
                if why in (STILL, STAYS) and given is not None and (given.share > 0.0 or motor):
                    stronger[change] = given
            elif given is not None and given.beyond and not isinstance(tried, str):
                helping[change] = (given, tried)
        return cls(helping, refused, stronger)

    def best(self, most: int) -> list[Change]:
        """Those that help most, one of each field; of one bogie alone where that does nearly as well."""
        found: dict[str, Change] = {}
        for change in sorted(self.helping, key=lambda c: -self.helping[c][0].share):
            first = found.setdefault(change.lever.field, change)
            fewer = (
                len(change.lever.bogies) < len(first.lever.bogies) and change.lever.direction == first.lever.direction
            )
            if fewer and self.helping[change][0].share >= NEARLY * self.helping[first][0].share:
                found[change.lever.field] = change
        return list(found.values())[:most]

    def nearest(self, most: int) -> list[Change]:
        """Those that come nearest to what is wanted; and the motor's, which gains nothing until it is strong enough."""
        ordered = sorted(self.stronger, key=lambda c: -self.stronger[c].share)
        return [*ordered[:most], *(c for c in ordered[most:] if c.lever.about_drive)]

    def and_(self, then: _Sorted) -> _Sorted:
        """Together with what came of further steps, which replaces what the steps before were refused for."""
        gone = {c.lever for c in (*then.helping, *then.refused)}
        before = {c: why for c, why in self.refused.items() if c.lever not in gone}
        stronger = {c: g for c, g in self.stronger.items() if c.lever not in gone}
        return _Sorted(
            {**self.helping, **then.helping}, {**before, **then.refused}, {**stronger, **then.stronger},
            self.further + len(then.helping) + len(then.refused),
        )  # fmt: skip


def _alone(aim: Finding, changes: Sequence[Change]) -> list[Change]:
    """The same of the one bogie that the finding is of, where they change others with it."""
    found = []
    for change in changes:
        bogies = change.lever.bogies
        own = next((b for b in bogies if re.search(rf"(^|\s){re.escape(b)}($|\.)", aim.part)), None)
        if own is not None and len(bogies) > 1 and (one := change.lever.only(own).change(change.steps)) is not None:
            found.append(one)
    return found
