"""The track's run and what it runs on: dimensions read back from the SVG are the file's, or follow from it."""

from __future__ import annotations

import math

import pytest

from tests.unit.assembly_parts import measured, on_tape, rings, sheets, standing, subject
from trundle.plans.run import pages, tension_N

NAMES = ("teasel", "wren")
MM = 0.05


@pytest.mark.parametrize("name", NAMES)
def test_what_the_track_runs_round(name: str) -> None:
    found, vehicle = measured(name, "run"), standing(name).assembly.vehicle
    track = vehicle.track
    assert track is not None
    # Pitch diameter p / sin(pi/N): chain drives, any handbook of machine elements.
    across = track.pitch_mm * track.sprocket.links_per_tooth / math.sin(math.pi / track.sprocket.teeth)
    assert found["run.pitch circle"].length == pytest.approx(across, abs=MM)
    assert found["run.pitch circle"].words == [f"Ø{across:.1f} pitch circle, {track.sprocket.teeth} teeth"]
    assert found["run.idler"].length == pytest.approx(2.0 * track.idler.radius_mm, abs=MM)
    for i, roller in enumerate(track.roller, 1):
        assert found[f"run.roller {i}"].length == pytest.approx(2.0 * roller.radius_mm, abs=MM)
    x, y = track.sprocket.at_mm
    assert on_tape(found, "run.forward.sprocket", "tail datum, run", 0) == pytest.approx(x, abs=MM)
    side = "left" if track.sprocket.end == "rear" else "right"
    assert on_tape(found, "run.up.sprocket", f"belly datum, run {side}", 1) == pytest.approx(y, abs=MM)


@pytest.mark.parametrize("name", NAMES)
def test_sag_and_pull(name: str) -> None:
    """A span of weight w a metre hangs by w l2 / 8 T (Irvine, Cable Structures, ch. 1)."""
    at, found = standing(name), measured(name, "run")
    track = at.assembly.vehicle.track
    assert track is not None
    span = float(at.assembly.model.band.longest)
    sag = track.mass_kg_per_m * 9.80665 * span**2 / (8.0 * tension_N(at)) * 1e3
    assert found["run.sag"].length == pytest.approx(sag, abs=MM)
    if track.sag_mm is not None:
        assert found["run.sag"].length == pytest.approx(track.sag_mm, abs=0.1)


@pytest.mark.parametrize("name", NAMES)
def test_wraps_follow_from_the_tangents(name: str) -> None:
    """Two circles d apart, of radii R and r: their common tangent leaves the first where its normal leans from the line
    of centres by acos((R - r) / d) (a belt on two pulleys, any handbook). Half a degree: tyres are pressed."""
    at, found = standing(name), measured(name, "run")
    vehicle = at.assembly.vehicle
    track = vehicle.track
    assert track is not None
    wheels, ends = rings(at)
    over = [(*r.at_mm, r.radius_mm + track.thickness_mm) for r in track.roller]
    for end, ring in zip(("sprocket", "idler"), ends, strict=True):
        rear = ring[0] < 0.5 * (ends[0][0] + ends[1][0])
        top, low = (min if rear else max)(over), (wheels[-1] if rear else wheels[0])
        normals = []
        for other, side in ((top, 1.0), (low, -1.0)):
            # Seen with the other end to the right, whichever end it is.
            dx, dy = (1.0 if rear else -1.0) * (other[0] - ring[0]), other[1] - ring[1]
            normals.append(math.atan2(dy, dx) + side * math.acos((ring[2] - other[2]) / math.hypot(dx, dy)))
        wrap = 360.0 - math.degrees(normals[0] - normals[1])
        assert found[f"run.{end} wrap"].angle == pytest.approx(wrap, abs=0.5), end
        assert found[f"run.{end} wrap"].words == [f"{found[f'run.{end} wrap'].angle:.0f}° wrapped"]


@pytest.mark.parametrize("name", ["teasel", "wren"])
def test_the_tensioner_stands_between_its_ends(name: str) -> None:
    at, found = standing(name), measured(name, "run")
    track = at.assembly.vehicle.track
    assert track is not None
    spring = track.idler.tensioner
    assert spring is not None
    assert found["tensioner.travel"].length == pytest.approx(spring.travel_mm, abs=MM)
    pressed = float(at.state["band.idler_shift_m"]) * 1e3
    got = found["tensioner.pressed"].length if "tensioner.pressed" in found else 0.0
    assert got == pytest.approx(pressed, abs=MM)
    left = found["tensioner.left"].length if "tensioner.left" in found else 0.0
    assert got + left == pytest.approx(spring.travel_mm, abs=MM)


@pytest.mark.parametrize("name", NAMES)
def test_axles_and_overhangs_as_far_as_given(name: str) -> None:
    found, vehicle = measured(name, "run"), standing(name).assembly.vehicle
    assert vehicle.track is not None
    for what, end in (("sprocket", vehicle.track.sprocket), ("idler", vehicle.track.idler)):
        for field in ("axle_mm", "overhang_mm"):
            value = getattr(end, field)
            assert (f"{what}.{field}" in found) == (value is not None)
            if value is not None:
                assert found[f"{what}.{field}"].length == pytest.approx(value, abs=MM)


def test_what_is_not_given_is_named_with_its_field() -> None:
    from trundle.plans.run_views import left_out_of_run

    track = standing("teasel").assembly.vehicle.track
    assert track is not None
    bare = track.model_copy(update={"idler": track.idler.model_copy(update={"axle_mm": None, "overhang_mm": None})})
    told = left_out_of_run(bare)
    assert [t.partition("(")[2] for t in told] == ["track.idler.axle_mm)", "track.idler.overhang_mm)"]
    assert left_out_of_run(track) == []


def test_on_wheels_there_is_no_track_to_draw() -> None:
    assert list(pages(subject("barrow"))) == []
    assert len(sheets("teasel", "run")) >= 2
