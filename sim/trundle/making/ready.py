"""What is bought ready, or ordered from someone who winds it: springs, wheels, track, its ends, screws."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from trundle.making.members import SIDE_COUNT
from trundle.spec.moving import parts_of
from trundle.spec.vehicle import Vehicle
from trundle.units import MM, N_PER_MM

LEAST_DAMPING = 1e-9
"""Below this a damper is rounding [N.s/mm]."""


@dataclass(frozen=True)
class Ready:
    """Things that are alike. what: "road wheel". words: as it is asked for. count: for the vehicle. where: of which
    bogies or tables. path: its table in the file, of the first. mass_kg: of one; None: the file does not say it.
    estimated: the mass is worked out from sizes, not given."""

    what: str
    words: str
    count: int
    where: tuple[str, ...]
    path: str
    mass_kg: float | None = None
    estimated: bool = False

    @property
    def kg_words(self) -> str:
        """Its mass in words: "1.600", "0.31 about", "not known"."""
        if self.mass_kg is None:
            return "not known"
        return f"about {self.mass_kg:.2f}" if self.estimated else f"{self.mass_kg:.3g}"


def springs_ready(vehicle: Vehicle) -> tuple[Ready, ...]:
    """Springs that are bought or wound, alike ones of several bogies as one."""
    return _merged(_springs(vehicle))


def ready(vehicle: Vehicle) -> tuple[Ready, ...]:
    """All that is bought ready, from the ground up: wheels, springs, dampers, screws, track, its ends."""
    return _merged([*_wheels(vehicle), *_springs(vehicle), *_beside_arms(vehicle), *_track(vehicle)])


def _merged(found: Iterable[Ready]) -> tuple[Ready, ...]:
    groups: dict[tuple[object, ...], Ready] = {}
    for r in found:
        key = r.what, r.words, r.mass_kg
        if key in groups:
            was = groups[key]
            where = tuple(dict.fromkeys((*was.where, *r.where)))
            groups[key] = replace(was, count=was.count + r.count, where=where)
        else:
            groups[key] = r
    return tuple(groups.values())


def _wheels(vehicle: Vehicle) -> Iterator[Ready]:
    for name, bogie in vehicle.bogie.items():
        w = vehicle.wheel[bogie.wheel]
        hub = "" if w.hub_width_mm is None else f", hub {w.hub_width_mm:g} over its faces"
        bore = "" if w.hub_bore_mm is None else f", bore {w.hub_bore_mm:g}"
        if w.hub_bore_mm is None and bogie.build is not None and bogie.build.axle is not None:
            bore = f", to turn on {bogie.build.axle.thread}"
        words = f"{2.0 * w.radius_mm:g} diameter, tread {w.width_mm:g} wide{hub}{bore}, rubber tyred, with its bearings"
        count = SIDE_COUNT * bogie.stations * w.abreast
        yield Ready("road wheel", words, count, (name,), f"wheel.{bogie.wheel}", w.mass_kg)


def _springs(vehicle: Vehicle) -> Iterator[Ready]:
    for name, bogie in vehicle.bogie.items():
        if (sprung := bogie.sprung(name)) is None:
            continue
        for row in sprung.spring.stock():
            if row.form is None:
                steel = f", {row.steel}" if row.steel else ""
                count = SIDE_COUNT * sprung.count * row.count
                words = f"{row.asked}, {row.length}{steel}"
                yield Ready(row.what, words, count, (name,), f"{sprung.path}.spring", row.mass_kg, True)


def _beside_arms(vehicle: Vehicle) -> Iterator[Ready]:
    """Screws, dampers and pads of each arm."""
    parts = parts_of(vehicle)
    for spring in parts.springs:
        if spring.build is not None and spring.build.adjuster is not None:
            a = spring.build.adjuster
            words = f"{a.thread}, {a.travel_mm:g} mm of travel and what it is held by, with two nuts"
            yield Ready("adjusting screw", words, SIDE_COUNT, (spring.bogie,), spring.path)
    # A spring that damps is bought with its damping: only what is left is a damper of its own.
    own = {swing: s.spring.mounted(s.mount) for s in parts.springs for swing in s.swings}
    for i, swing in enumerate(parts.swings):
        bump, droop = swing.damp_bump, swing.damp_droop
        if i in own:
            bump, droop = bump - own[i].damp_bump_N_s_per_m, droop - own[i].damp_droop_N_s_per_m
        bump, droop = bump / N_PER_MM, droop / N_PER_MM
        if max(bump, droop) > LEAST_DAMPING:
            words = f"{bump:g} N.s/mm bump, {droop:g} droop, both as felt at the axle"
            yield Ready("damper", words, SIDE_COUNT, (swing.name,), swing.field)
        # One at bump, one at droop: of a beam at either end of its rocking.
        felt = "" if swing.pad.limit is not None else ", as felt at the axle"
        yield Ready("stop's pad", f"{swing.pad.words}{felt}", 2 * SIDE_COUNT, (swing.name,), swing.field)


def _track(vehicle: Vehicle) -> Iterator[Ready]:
    t = vehicle.track
    if t is None:
        return
    words = f"{t.links} links of {t.pitch_mm:g} mm, {t.length_m:.2f} m round, {t.width_mm:g} wide, tooth {t.tooth_mm:g}"
    yield Ready("track", words, SIDE_COUNT, ("track",), "track", t.length_m * t.mass_kg_per_m)
    s, i = t.sprocket, t.idler
    skips = f", a tooth every {s.links_per_tooth} links" if s.links_per_tooth > 1 else ""
    pitch = 2.0 * t.sprocket_radius_m / MM
    words = f"{s.teeth} teeth for {t.pitch_mm:g} mm pitch{skips}, pitch diameter {pitch:.1f}{_axle(s.axle_mm)}"
    yield Ready("sprocket", words, SIDE_COUNT, ("track",), "track.sprocket")
    words = f"{2.0 * i.radius_mm:g} diameter{_axle(i.axle_mm)}"
    yield Ready("idler", words, SIDE_COUNT, ("track",), "track.idler")
    if i.tensioner is not None:
        e = i.tensioner
        words = f"{e.rate_N_per_mm:g} N/mm, {e.travel_mm:g} mm of travel, put in with {e.preload_N:g} N"
        yield Ready("tensioner's spring", words, SIDE_COUNT, ("track",), "track.idler.tensioner")
    for r in t.roller:
        yield Ready("return roller", f"{2.0 * r.radius_mm:g} diameter", SIDE_COUNT, ("track",), "track.roller")


def _axle(diameter_mm: float | None) -> str:
    return "" if diameter_mm is None else f", on an axle of {diameter_mm:g}"
