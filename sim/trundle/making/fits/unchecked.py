"""What the file does not say enough about to be checked, and which field would add it."""

from __future__ import annotations

from collections.abc import Iterator

from trundle.making.fits.case import Case, cases
from trundle.making.made import left_out
from trundle.spec.vehicle import Vehicle


def unchecked(vehicle: Vehicle) -> tuple[str, ...]:
    """Each in words; the same of several bogies once for each. Raises InputError where a spring or stop cannot work."""
    known = list(cases(vehicle))
    found = [*left_out(vehicle), *(line for case in known for line in _of(case))]
    if any(case.build.bracket is not None for case in known):
        found.append("where brackets sit across the vehicle, and what of the hull holds them: no field has it")
    return tuple(dict.fromkeys(found))


def _of(case: Case) -> Iterator[str]:
    build, name, at = case.build, case.member.name, f"{case.member.path}.build"
    axle, wheel = build.axle, f"wheel.{case.bogie.wheel}"
    if axle is not None and case.member.carries_axle:
        if case.wheel.hub_width_mm is None:
            yield f"washers beside the hubs: their width is not given ({wheel}.hub_width_mm)"
        if case.wheel.hub_bore_mm is None:
            yield f"hubs on their bolts: their bore is not given ({wheel}.hub_bore_mm)"
        track = case.vehicle.track
        if axle.tooth_width_mm is None and track is not None and track.tooth_mm > 0.0 and case.wheel.abreast == 2:
            yield f"{name}: the guide tooth between the wheels: its width is not given ({at}.axle.tooth_width_mm)"
        if axle.held == "both sides":
            yield f"{name}: the fork round the wheels: the file has no field for it"
    if build.bracket is not None and build.bracket.hull_thread is None and case.member.pivots_mm:
        yield f"{name}: the plates' bolts into the hull: not given ({at}.bracket.hull_thread)"
    yield from (f"{name}: {words}" for place in case.springs for words in place.spring.not_in_file())
    if not case.in_line:
        yield (
            f"{name}: what the {case.member.what} meets as it swings: where beam and arm lie across the vehicle is not "
            "in the file"
        )
