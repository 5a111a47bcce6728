"""Which end the idler is at, and which way it is set out: one fact, and all who use it agree."""

from __future__ import annotations

import copy

import pytest

from trundle.model.assembly import assemble
from trundle.papers.ground import level
from trundle.spec.reader import parse_toml
from trundle.spec.shipped import find
from trundle.spec.vehicle import Vehicle, vehicle_from

TENSIONER = {"rate_N_per_mm": 20.0, "preload_N": 200.0, "travel_mm": 20.0}


def _turned(end: str) -> Vehicle:
    """Teasel with a tensioner, its sprocket at the stated end (the two ends change places)."""
    data = copy.deepcopy(parse_toml(find("vehicles", "teasel").read_text(encoding="utf-8"), "teasel"))
    track = data["track"]
    ends = sorted((track["sprocket"]["at_mm"], track["idler"]["at_mm"]))
    rear, front = ends
    track["sprocket"] |= {"end": end, "at_mm": front if end == "front" else rear}
    track["idler"] |= {"at_mm": rear if end == "front" else front, "tensioner": TENSIONER}
    return vehicle_from(data)


@pytest.mark.parametrize(("end", "sign"), [("front", -1.0), ("rear", 1.0)])
def test_the_idler_is_set_out_away_from_the_sprocket(end: str, sign: float) -> None:
    """By geometry: the idler lies on the side of the sprocket that it is set out to, moves further from it, its
    tensioner pushes that way, and the model's front and rear rings are where their axles are."""
    vehicle = _turned(end)
    track = vehicle.track
    assert track is not None
    assert track.idler_sign == sign
    assert (track.idler.at_mm[0] - track.sprocket.at_mm[0]) * track.idler_sign > 0.0
    set_out = assemble(vehicle, level(), 0.010)
    assert set_out.idler_mm is not None
    assert set_out.idler_mm[0] - track.idler.at_mm[0] == pytest.approx(sign * 10.0)
    band, rings = set_out.model.band, set_out.model.rings
    assert band.tensioner_x == sign
    assert rings[band.front].x > rings[band.rear].x
    assert (band.sprocket == band.front) == (end == "front")
