"""The first design: springs fitted, the vehicle stood and stood again till it stands as planned, bolts made to hold."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from trundle.design.answers import Answers
from trundle.design.fit import HIGH_HZ, LOW_HZ, Fit, Want, best_fit, softest, with_setting
from trundle.design.known import Known, filled
from trundle.design.layout import NOSE, Layout, ends, layouts, usual_stations, wanted_arm_mm
from trundle.design.steelwork import ENOUGH, Steelwork, usual
from trundle.design.stock import Place, RoundBar, StockAtHand
from trundle.design.vehicle import Design
from trundle.engine.standing import Standing
from trundle.errors import InputError, Problem
from trundle.model.arrays import SIDES
from trundle.model.assembly import assemble
from trundle.papers.ground import stand_level
from trundle.papers.loads import by_factor
from trundle.papers.standing import StandingSheet, standing_sheet
from trundle.papers.strength import strength
from trundle.spec.vehicle import Vehicle, vehicle_from
from trundle.units import DEG, MM, G

SPRUNG_SHARE = 1.02
"""Load of the springs over the weight, before it first stands: wheels are off it, the track's pull at both ends on."""

TRACK_STIFFENS = 1.15
"""Heave of the vehicle over that of its load on its springs alone, before it first stands: track and tyres do that."""

LEVEL_DEG = 0.05
NEAR_MM = 0.3
"""As level as this, and as near to its planned height, is near enough."""


class NothingCarriesError(InputError):
    """Of this stock no spring can be made that carries the load."""


@dataclass(frozen=True)
class Stood:
    """A design that stands. tables: what its file says."""

    design: Design
    tables: dict[str, Any]
    vehicle: Vehicle
    at: Standing

    @cached_property
    def sheet(self) -> StandingSheet:
        """All that there is to say of how it stands."""
        return standing_sheet(self.vehicle, adjusters=False, at=self.at)

    @property
    def pitch_deg(self) -> float:
        """Nose up."""
        return float(self.at.q[2]) / DEG

    @property
    def height_mm(self) -> float:
        """Of the belly over the ground, under the middle between the outer bogies."""
        places = [b["at_mm"][0] * MM for b in self.tables["bogie"].values()]
        cx, cy = self.at.assembly.com
        ahead, turn = 0.5 * (max(places) + min(places)) - cx, float(self.at.q[2])
        up = float(self.at.q[1]) + math.sin(turn) * ahead - math.cos(turn) * float(cy)
        return float(up) / MM

    @property
    def idler_moved_mm(self) -> float:
        """How far out of its place in the file it stands."""
        assert self.at.assembly.idler_mm is not None
        return float(self.at.assembly.idler_mm[0] - self.tables["track"]["idler"]["at_mm"][0])

    @property
    def pull_N(self) -> float:
        """In one track."""
        return float(self.at.state["band.tension_N"]) / SIDES

    @property
    def heave_Hz(self) -> float:
        """The slowest swing in which the hull rises and falls; where it only nods, the slowest of all."""
        hull = [m for m in self.sheet.modes if m.kind == "heave"] or list(self.sheet.modes)
        return min(m.frequency_Hz for m in hull)


def first_design(answers: Answers) -> Stood:
    """The first design from a builder's answers. Raises InputError where nothing can be made of them: wheels without
    room, more mass in wheels and track than there is in all, stock that carries nothing."""
    known = filled(answers)
    steelwork = usual(known.mass_kg)
    if answers.stock is None:
        known.stock = _to_buy(known, steelwork)
    fit, layout = _laid_out(known, steelwork)
    if known.each_side is None:
        known.why["wheels.each_side"] = "what suits the springs best, about three and a half radii apart"
    nose = max(NOSE * known.kerb_mm, 0.4 * layout.axle_mm)
    stood = resettled(Design(known, layout, fit, steelwork, nose, 0.5 * layout.hull_mm))
    for _ in range(4):
        load, more = _load_N(stood), min(max(stood.heave_Hz / fit.heave_Hz, 0.7), 1.6)
        steelwork = _strong(stood)
        again = fit_to(known, layout, steelwork, known.stock, load, more)
        if again is None:
            break
        near = abs(load / fit.place.load_N - 1.0) < 0.02 and steelwork == stood.design.steelwork
        if near and again.badness(more) > fit.badness(more) - 0.02:
            break
        fit = again
        stood = resettled(replace(stood.design, fit=fit, steelwork=steelwork))
    return stood


def fit_before_standing(answers: Answers) -> Fit | None:
    """A spring on about the usual number of wheels: quick, and near what a first design ends with; None if none
    carries there. Raises InputError where wheels have no room."""
    known = filled(answers)
    tried = layouts(known, known.stock.PAIRS)
    nearest = {layout.paired: layout for layout in reversed(tried)}
    found = _best(known, usual(known.mass_kg), list(nearest.values()))
    return None if found is None else found[0]


def _laid_out(known: Known, steelwork: Steelwork) -> tuple[Fit, Layout]:
    """Number of wheels, kind of bogie and spring that suit each other best. Raises InputError if none carries."""
    tried = layouts(known, known.stock.PAIRS)
    found = _best(known, steelwork, tried)
    if found is None:
        raise _carries_nothing(known, tried, steelwork)
    return found


def _best(known: Known, steelwork: Steelwork, tried: list[Layout]) -> tuple[Fit, Layout] | None:
    usual_count = usual_stations(known, ends(known))
    found: list[tuple[float, Fit, Layout]] = []
    for layout in tried:
        fit = fit_to(known, layout, steelwork, known.stock, _first_load_N(known, layout), TRACK_STIFFENS)
        if fit is None:
            continue
        bad = fit.badness(TRACK_STIFFENS) + (0.04 if layout.paired else 0.12) * abs(layout.stations - usual_count)
        # A leaf over two arms shares load between them, and is one spring where there would be two.
        bad += 0.3 if known.stock.PAIRS and not layout.paired else 0.0
        bad += 2.5 * max(1.0 - fit.place.arm_mm / wanted_arm_mm(known), 0.0) if known.kerb_mm > 0.0 else 0.0
        found.append((bad, fit, layout))
    if not found:
        return None
    _, fit, layout = min(found, key=lambda f: f[0])
    return fit, layout


def _first_load_N(known: Known, layout: Layout) -> float:
    """At each axle before it has stood: the springs' share of the weight, and what the track's ends pull down."""
    return SPRUNG_SHARE * known.weight_N / (2.0 * layout.stations)


def fit_to(
    known: Known, layout: Layout, steelwork: Steelwork, stock: StockAtHand, load_N: float, more: float
) -> Fit | None:
    """The best spring of this stock for one arm's load; None if there is none. more: see `Fit.badness`."""
    return best_fit(stock, _places(layout, steelwork, load_N, more), _want(known), more)


def _want(known: Known) -> Want:
    """Half a kerb up, a third down; a radio-controlled one has at least 15 mm of each."""
    return Want(max(0.45 * known.kerb_mm, 20.0), max(0.3 * known.kerb_mm, 15.0))


def _places(layout: Layout, steelwork: Steelwork, load_N: float, more: float) -> Iterator[Place]:
    """Arms of several lengths, and several rates to aim at."""
    lengths = dict.fromkeys(
        float(5 * math.floor((layout.least_arm_mm + s * (layout.most_arm_mm - layout.least_arm_mm)) / 5.0 + 1e-6))
        for s in (0.0, 0.33, 0.67, 1.0)
    )
    for arm in lengths:
        if arm < 25.0:
            continue
        stands = math.asin(layout.drop_mm(arm) / arm)
        for heave in (2.8, 2.4, 3.2, 2.1, 3.8):
            rate = (2.0 * math.pi * heave / more) ** 2 * load_N / G * MM
            yield Place(
                load_N=load_N,
                rate_N_per_mm=rate,
                arm_mm=arm,
                stands_rad=stands,
                apart_mm=layout.apart_mm if layout.paired else None,
                top_mm=0.5 * steelwork.side_mm,
                clear_mm=steelwork.clear_mm,
            )


def _to_buy(known: Known, steelwork: Steelwork) -> StockAtHand:
    """Of round bars as they are sold the one that suits best, for a builder who has nothing yet."""
    assert isinstance(known.stock, RoundBar)
    usual_count = usual_stations(known, ends(known))
    tried = [x for x in layouts(known, False) if x.stations == (known.each_side or usual_count)]
    fits = [
        fit
        for layout in tried
        for stock in (known.stock, *known.stock.others())
        if (fit := fit_to(known, layout, steelwork, stock, _first_load_N(known, layout), TRACK_STIFFENS)) is not None
    ]
    if not fits:
        raise _carries_nothing(known, tried, steelwork)
    return min(fits, key=lambda f: f.badness(TRACK_STIFFENS)).stock


def _stand(design: Design) -> Stood:
    tables, left = design.tables(), design.hull_kg()
    if left < 0.3 * design.known.mass_kg:
        raise InputError(
            Problem(
                f"arms, wheels and track weigh {design.known.mass_kg - left:.0f} kg of {design.known.mass_kg:g} kg all "
                f"up: {max(left, 0.0):.0f} kg are left for hull, motor and load",
                field="all_up_kg",
                allowed="more, or fewer, smaller, narrower wheels, or a lighter track",
            )
        )
    try:
        vehicle = vehicle_from(tables)
        return Stood(design, tables, vehicle, stand_level(vehicle))
    except InputError as e:
        # Told by the answers that led there: nobody has seen these tables.
        known, first = design.known, e.problems[0]
        raise InputError(
            Problem(
                f"a kerb of {known.kerb_mm:g} mm, a length of {known.length_mm:g} mm and wheels of "
                f"{2 * known.radius_mm:g} mm do not go together: {first.problem.replace(' * ', ' ')}",
                field=given_of(known, "kerb_mm", "length_mm"),
                allowed="a lower kerb_mm, a greater length_mm, or larger wheels",
            )
        ) from None


def resettled(design: Design) -> Stood:
    """Stood at its height, level, its track as long as it is."""
    stood = _stand(design)
    for _ in range(2):
        stood = _level(_high(stood))
        out = stood.design.idler_out_mm + stood.idler_moved_mm
        stood = _stand(replace(stood.design, idler_out_mm=out, pull_N=stood.pull_N))
    return stood


def _high(stood: Stood) -> Stood:
    """Stood at its planned height, by what sets the springs (secant)."""
    design = stood.design
    fit = design.fit
    step = 0.01 * (fit.range[1] - fit.range[0])
    before, at = stood.height_mm - design.belly_mm, fit.setting
    setting = at + (step if before < 0.0 else -step)
    for _ in range(8):
        if abs(before) < NEAR_MM:
            break
        moved = with_setting(fit, setting)
        if moved is None:
            break
        new = _stand(replace(stood.design, fit=moved))
        now = new.height_mm - design.belly_mm
        stood = new
        slope = (now - before) / (setting - at) if setting != at else 0.0
        if abs(slope) < 1e-9:
            break
        at, before = setting, now
        setting = at - max(min(now / slope, 20.0 * step), -20.0 * step)
    return stood


def _level(stood: Stood) -> Stood:
    """Stood level, by where the centre of mass is put: nobody has said where it is."""
    for _ in range(4):
        if abs(stood.pitch_deg) < LEVEL_DEG:
            break
        design = stood.design
        moved = _stand(replace(design, com_mm=design.com_mm + 5.0))
        slope = (moved.pitch_deg - stood.pitch_deg) / 5.0
        if abs(slope) < 1e-6:
            break
        shift = -stood.pitch_deg / slope
        most = 0.08 * design.layout.hull_mm
        stood = _stand(replace(design, com_mm=design.com_mm + max(min(shift, most), -most)))
    return stood


def _load_N(stood: Stood) -> float:
    """Mean push of the springs at the axles [N], one side's."""
    pushes = []
    for place in stood.at.assembly.parts.springs:
        angles = tuple(float(stood.at.q[3 + j]) for j in place.swings)
        torques = place.spring.at(angles, place.mount).torques_Nm
        length = place.mount.arm.length_m
        pushes += [t / (length * math.cos(a)) for t, a in zip(torques, angles, strict=True)]
    return sum(pushes) / len(pushes)


def _strong(stood: Stood) -> Steelwork:
    """Sizes with which every part has enough at three times its standing load."""
    steelwork = stood.design.steelwork
    for _ in range(20):
        vehicle = vehicle_from(replace(stood.design, steelwork=steelwork).tables())
        assembly = assemble(vehicle, stood.at.assembly.model.ground)
        weak = [m for m in strength(assembly, by_factor(stood.sheet)) if m.margin < ENOUGH]
        if not weak:
            break
        more = steelwork.larger(min(weak, key=lambda m: m.margin).kind)
        if more is None:
            break
        steelwork = more
    return steelwork


def _carries_nothing(known: Known, tried: list[Layout], steelwork: Steelwork) -> NothingCarriesError:
    """Why nothing can be made of this stock: it carries nothing, or hardly gives."""
    first = tried[0]
    arms = [min(x.least_arm_mm for x in tried), max(x.most_arm_mm for x in tried)]
    load = _first_load_N(known, first)
    between = " to ".join(dict.fromkeys(f"{arm:.0f}" for arm in arms))
    where = f"{load:.0f} N at each axle (all-up {known.mass_kg:g} kg on {2 * first.stations} arms of {between} mm)"
    bare = softest(known.stock, _places(first, steelwork, load, TRACK_STIFFENS), _want(known))
    stiff = bare is not None and bare.heave_Hz > HIGH_HZ
    why = (
        f"is far too stiff for {where}: heave at {bare.heave_Hz:.0f} Hz at the softest, {LOW_HZ:g} to {HIGH_HZ:g} is "
        "wanted"
        if bare is not None and stiff
        else f"is too weak or too short for {where}: no spring of it carries that with any travel left"
    )
    if known.answers.stock is None:
        what, field = "of round bar, as it is sold, every size", given_of(known, "length_mm", "all_up_kg")
        return NothingCarriesError(
            Problem(f"{what} {why}", field=field, allowed="more length, fewer wheels or less mass")
        )
    return NothingCarriesError(
        Problem(f"{known.stock.words()} {why}", field="stock", allowed="other stock, other wheels, or another mass")
    )


def given_of(known: Known, *paths: str) -> str:
    """The first of these answers that the builder gave; else the first."""
    return next((path for path in paths if path not in known.why), paths[0])


__all__ = ["TRACK_STIFFENS", "Stood", "first_design", "fit_before_standing", "fit_to", "resettled", "wanted_arm_mm"]
