"""What is drawn is what was recorded: geometry and pixels read back against the record."""

from __future__ import annotations

import math

import numpy as np
import pygame
import pytest
from viewer_parts import film, result

from trundle.findings.events import BUMP, KINDS
from trundle.spec.shipped import names
from trundle_viewer import forces, readings
from trundle_viewer.camera import Camera
from trundle_viewer.export import offscreen
from trundle_viewer.layers import shown_at_first
from trundle_viewer.painter import Painter
from trundle_viewer.palette import PALETTES, Palette
from trundle_viewer.scene import Scene, SceneMaker
from trundle_viewer.stage import Stage
from trundle_viewer.strip import LANE_NAMES, TICKS, event_colour
from trundle_viewer.view import View

ROWS = (50, 1500, 2755, 2900, 3300, 3600)


def _row_of(t: float) -> int:
    return film().row(t)


def _scene(row: int) -> Scene:
    return SceneMaker(film()).make(min(row, film().rows - 1))


def _distance(points: np.ndarray, x: float, y: float) -> float:
    """Least distance from a point to a closed line through points."""
    a, b = points, np.roll(points, -1, axis=0)
    ab = b - a
    share = np.clip(((x - a[:, 0]) * ab[:, 0] + (y - a[:, 1]) * ab[:, 1]) / np.maximum((ab**2).sum(1), 1e-12), 0, 1)
    near = a + share[:, None] * ab
    return float(np.hypot(near[:, 0] - x, near[:, 1] - y).min())


@pytest.mark.parametrize("row", ROWS)
def test_wheel_centres_in_pixels_are_the_recorded_ones(row: int) -> None:
    """The middle of the pixels that a wheel covers lies within 1 px of its recorded centre."""
    s, timeline = _scene(row), result().timeline.iloc[row]
    cam = Camera((0, 0, 1280, 720), 0.37, s.hull_x, s.hull_y)
    with offscreen():
        stage = Stage(PALETTES["light"], 1.0)
        for w in s.wheels:
            sheet = pygame.Surface((1280, 720), depth=32)
            sheet.fill((255, 0, 255))
            one = Scene(**{**s.__dict__, "wheels": (w,)})
            stage.wheels(sheet, cam, one)
            at = np.argwhere((pygame.surfarray.array3d(sheet) != (255, 0, 255)).any(axis=2))
            middle = at.mean(axis=0) + 0.5
            x = (timeline[f"wheel.{w.name}.x_mm"] - timeline["hull.x_mm"]) * 0.37 + 640.0
            y = 360.0 - (timeline[f"wheel.{w.name}.y_mm"] - timeline["hull.y_mm"]) * 0.37
            assert math.hypot(middle[0] - x, middle[1] - y) < 1.0


@pytest.mark.parametrize("row", ROWS)
def test_arms_end_at_the_recorded_axles(row: int) -> None:
    """Arms turned to their recorded angles reach the recorded axles; the engine's pivots may gape by a hair
    (1 mm allowed, as a pixel at the usual zoom is 3 mm)."""
    s = _scene(row)
    place = {w.name: (w.x, w.y) for w in s.wheels}
    for arm in s.arms:
        x, y = place[arm.name]
        assert math.hypot(arm.tip[0] - x, arm.tip[1] - y) < 1.0


@pytest.mark.parametrize("row", ROWS)
def test_the_band_is_as_long_as_recorded(row: int) -> None:
    """Same geometry, same length: 0.5 mm for the pose's single precision and the pivots' gaps."""
    s = _scene(row)
    assert s.band is not None
    assert s.band.length == pytest.approx(result().timeline["track.path_mm"].iloc[row], abs=0.5)
    # The line that is drawn, along the pins, is that path and its sag; a polygon of 9 deg steps is 0.1 %
    # short on arcs, and under a pressed tyre it lies nearer to the axle by up to the rubber's squash.
    mid = 0.5 * (s.band.outer + s.band.inner)
    drawn = float(np.hypot(*(np.roll(mid, -1, axis=0) - mid).T).sum())
    assert drawn == pytest.approx(s.band.length, rel=0.01)


@pytest.mark.parametrize("row", ROWS)
def test_the_band_touches_wheels_as_recorded(row: int) -> None:
    """Inner face to axle: radius less the tyre's squash under a loaded wheel, radius plus the recorded gap
    under one that hangs."""
    s = _scene(row)
    assert s.band is not None
    for w in s.wheels:
        away = _distance(s.band.inner, w.x, w.y)
        if w.gap_mm > 0.0:
            assert away == pytest.approx(w.radius + w.gap_mm, abs=1.0)
        else:
            # An arc drawn in steps of 9 deg dips by r (1 - cos 4.5 deg) = 0.3 %.
            assert w.radius - 0.25 * w.radius < away < 1.004 * w.radius + 0.5


def test_the_band_and_its_plate_follow_a_tensioners_idler() -> None:
    """Mole's idler is pressed in by up to 20 mm on a 100 mm kerb. Wherever it is recorded, the inner face runs
    round it at its radius (arcs in steps of 9 deg dip by 0.3 %), and the plate that carries it ends at its axle."""
    f = film("mole")
    track = f.vehicle.track
    assert track is not None
    assert track.idler.tensioner is not None
    moved = result("mole").timeline["track.idler_shift_mm"].to_numpy()
    pressed = int(np.argmax(moved))
    assert moved[pressed] > 5.0
    maker = SceneMaker(f)
    for row in (0, pressed, pressed + 20, f.rows - 1):
        s = maker.make(row)
        assert s.band is not None
        x, y = f.at("idler.x_mm", row), f.at("idler.y_mm", row)
        assert _distance(s.band.inner, x, y) == pytest.approx(track.idler.radius_mm, rel=0.004, abs=0.3)
        (sprocket, idler) = s.struts
        for plate, name in ((sprocket, "sprocket"), (idler, "idler")):
            axle = 0.5 * (plate[0] + plate[3])
            assert axle == pytest.approx([f.at(f"{name}.x_mm", row), f.at(f"{name}.y_mm", row)], abs=0.1)


def test_a_link_for_every_pitch_and_all_move_with_the_band() -> None:
    """As many joints as links, evenly apart; after one pitch of travel every joint stands where the next one
    stood (the vehicle at rest)."""
    f = film()
    maker = SceneMaker(f)
    s = maker.make(0)
    assert s.band is not None
    track = f.vehicle.track
    assert track is not None
    assert maker.tracer is not None
    assert len(s.band.pins) == track.links
    q = np.array([s.hull_x * 1e-3, s.hull_y * 1e-3, s.pitch_rad, *(math.radians(a.angle_deg) for a in s.arms)])
    here = maker.tracer.shape(q, f.at("track.sag_mm", 0), 0.0)
    there = maker.tracer.shape(q, f.at("track.sag_mm", 0), track.pitch_mm)
    assert np.allclose(there.pins[1:], here.pins[:-1], atol=1e-6)
    assert np.hypot(*(here.pins[1, 0] - here.pins[0, 0])) == pytest.approx(track.pitch_mm, rel=0.15)


def test_wheels_turn_with_travel() -> None:
    """A wheel that has rolled its circumference has turned once, clockwise when going forward."""
    f = film()
    a, b = f.row(1.5), f.row(2.0)
    maker = SceneMaker(f)
    turned = maker.make(a).wheels[0].turn - maker.make(b).wheels[0].turn
    rolled = (f.at("hull.x_mm", b) - f.at("hull.x_mm", a)) / maker.make(a).wheels[0].radius
    # Slip on level ground at a steady speed is below 2 %.
    assert turned % (2 * math.pi) == pytest.approx(rolled % (2 * math.pi), abs=0.02 * rolled)


def test_a_stop_hit_is_marked_while_it_lasts_and_then_as_one_that_is_over() -> None:
    """Half a second after its begin the mark is gone; a hit itself is over in a few frames."""
    f = film()
    first = next(e for e in f.events if e.kind == BUMP)
    hits = [e for e in f.events if (e.kind, e.where) == (BUMP, first.where)]

    def mark(time_s: float) -> readings.StopMark | None:
        found = [m for m in readings.stop_marks(f, time_s) if (m.kind, m.where) == (BUMP, first.where)]
        assert len(found) <= 1
        return found[0] if found else None

    assert mark(first.time_s - 2 * f.dt_s) is None
    now = mark(first.time_s)
    assert now is not None
    assert (now.peak_N, now.ago_s) == (first.peak_N, 0.0)
    assert now.words == f"bump {first.peak_N:.0f} N"
    pressed = [f.at(f"arm.{first.where}.stop_N", first.row + k) for k in (-1, 0)]
    assert pressed[0] <= 0.0 < pressed[1]
    for e in hits:
        # The record has nothing on the stop any more where the mark says that it is over.
        end_s = e.time_s + e.duration_s
        over = mark(end_s + 0.1)
        again = any(other.time_s <= end_s + 0.1 < other.time_s + other.duration_s for other in hits)
        if over is not None and not again:
            assert over.ago_s > 0.05
            assert over.words.endswith("s ago")
            assert f.at(f"arm.{first.where}.stop_N", f.row(end_s + 0.1)) <= 0.0
    last = max(e.time_s + max(0.5, e.duration_s) for e in hits)
    assert mark(last + 2 * f.dt_s) is None


@pytest.mark.parametrize("theme", ["dark", "light"])
def test_a_stop_hit_shows_in_the_frame(theme: str) -> None:
    """The stop's colour appears on tags in the frame of the event, and not in the one before it."""
    f = film()
    first = next(e for e in f.events if e.kind == BUMP)
    p: Palette = PALETTES[theme]

    def coloured(time_s: float) -> int:
        view = View(f, time_s=time_s, theme=theme, layers={"tags"})
        sheet = pygame.Surface((1280, 720), depth=32)
        painter = Painter((1280, 720), view, tools=False)
        painter.draw(sheet)
        area = pygame.surfarray.array3d(sheet)[: painter.rect.right, : painter.rect.bottom]
        return int((area == p.stop).all(axis=2).sum())

    with offscreen():
        assert coloured(first.time_s - 2 * f.dt_s) == 0
        assert coloured(first.time_s) > 100


@pytest.mark.parametrize("vehicle", names("vehicles"))
def test_every_shipped_vehicle_can_be_drawn(vehicle: str) -> None:
    """All of it is on the picture: something stands where each wheel is, whatever springs it has."""
    f = film(vehicle)
    view = View(f, time_s=min(3.0, f.end_s), layers=shown_at_first() | {"numbers"})
    with offscreen():
        sheet = pygame.Surface((960, 540), depth=32)
        painter = Painter((960, 540), view)
        s = painter.draw(sheet)
        assert len(s.wheels) == len(f.assembly.wheel)
        assert s.springs
        sky = PALETTES["dark"].sky
        for w in s.wheels:
            x, y = painter.camera.px(w.x, w.y)
            assert painter.rect.collidepoint(x, y)
            assert sheet.get_at((round(x), round(y)))[:3] != sky


def test_arrows_are_as_long_as_the_scale_says() -> None:
    """The scale bar's load through the same factor as the arrows; three even shares fit under it."""
    f = film()
    load = forces.round_load(f)
    assert load * forces.arrow_scale(f, 1.0) < forces.LONGEST
    assert round(load / 10.0 ** math.floor(math.log10(load)), 9) in (1.0, 2.0, 5.0)


def test_colours_that_sit_together_differ_in_lightness() -> None:
    """Marks against their backdrop: WCAG 2.1 contrast of at least 3:1 for graphical objects (1.4.11)."""

    def luminance(c: tuple[int, int, int]) -> float:
        lin = [v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in (k / 255 for k in c)]
        return 0.2126 * lin[0] + 0.7152 * lin[1] + 0.0722 * lin[2]

    for p in PALETTES.values():
        for paper in (p.panel, p.sky):
            for ink in (p.text, p.text_dim, p.stop, p.droop, p.off, p.slack, p.ghost, p.mark, p.fine, p.risk, p.failed):
                a, b = sorted((luminance(paper), luminance(ink)))
                assert (b + 0.05) / (a + 0.05) >= 3.0, (p.name, ink, paper)
        a, b = sorted((luminance(p.load), luminance(p.ground_deep)))
        assert (b + 0.05) / (a + 0.05) >= 2.3, p.name


def test_every_kind_of_event_has_its_tick() -> None:
    """And the colour that it names is the palette's."""
    assert set(TICKS) == {kind.name for kind in KINDS}
    for kind in TICKS:
        assert event_colour(PALETTES["dark"], kind) is not None
        assert 0 <= TICKS[kind].lane < len(LANE_NAMES)
