"""The weakest part on the picture, and when parts give: against the force and the pose at that moment."""

from __future__ import annotations

import dataclasses

import numpy as np
import pygame
import pytest
from own_vehicles import SHORT_ARMS
from viewer_parts import film, result

from trundle.strength.margin import PartMargin
from trundle.strength.margins import margins_of
from trundle_viewer import bearing
from trundle_viewer.export import offscreen
from trundle_viewer.film import film_of_result
from trundle_viewer.painter import Painter
from trundle_viewer.palette import DARK
from trundle_viewer.told import Told
from trundle_viewer.view import View


def _part(kind: str, name: str, margin: float, time_s: float, gives_s: float | None) -> PartMargin:
    return PartMargin(
        kind=kind, name=name, title=f"{kind}, S355", margin=margin, stress_MPa=355.0 / margin, limit_MPa=355.0,
        time_s=time_s, at_m=4.0, along_N=100.0, across_N=900.0, where="bending", gives_s=gives_s,
    )  # type: ignore[arg-type]  # fmt: skip


PARTS = (
    _part("spring", "front", 1.6, 3.0, None),
    _part("arm", "front.fore", 0.69, 3.114, 3.05),
    _part("axle bolt", "rear.aft", 0.91, 3.4, 3.39),
    _part("weld", "front.aft", float("inf"), 0.0, None),
)


@pytest.fixture
def view() -> View:
    one = film_of_result(result())
    assert one.told is not None
    one.told = Told(one.told.headline, (), PARTS)
    return View(one, time_s=2.0, layers={"margins"})


def _notes(view: View, time_s: float) -> tuple[list[str], np.ndarray]:
    """Words, and where the pixels of a failed part's red are."""
    view.time_s = time_s
    with offscreen():
        painter = Painter((1280, 720), view, tools=False)
        s = painter.scene()
        painter.aim(s)
        sheet = pygame.Surface((1280, 720), depth=32)
        notes = bearing.bearing(sheet, painter.camera, DARK, 1.0, s, view)
        red, green, _ = np.moveaxis(pygame.surfarray.array3d(sheet).astype(int), 2, 0)
        at = np.argwhere(red > green + 40)  # smooth lines hardly anywhere have the palette's very colour
        arm = next(a for a in s.arms if a.name == "front.fore")
        middle = painter.camera.px(*(0.5 * (p + t) for p, t in zip(arm.pivot, arm.tip, strict=True)))
    assert len(at) == 0 or np.abs(at - middle).max(axis=1).min() <= 15.0
    return [note.words for note in notes], at


def test_the_weakest_is_marked_all_along_and_others_once_they_give(view: View) -> None:
    """In words, with sign and colour; a part that bears nothing is not told of."""
    words, before = _notes(view, 2.0)
    assert words == ["least left: front fore arm 0.69, at 3.11 s"]
    words, after = _notes(view, 3.06)
    assert words == ["front fore arm bends, 0.69"]
    # A cross on top of the ring.
    assert len(before) > 50
    assert len(after) > len(before) + 20
    words, _ = _notes(view, 3.4)
    assert words == ["front fore arm bends, 0.69", "rear aft axle bolt bends, 0.91"]


def test_a_part_with_plenty_left_is_marked_without_alarm(view: View) -> None:
    assert view.film.told is not None
    view.film.told = dataclasses.replace(view.film.told, margins=PARTS[:1])
    words, pixels = _notes(view, 3.4)
    assert words == ["least left: front spring 1.60, at 3.00 s"]
    assert len(pixels) == 0


def test_of_many_that_give_the_weakest_are_named_and_all_have_a_mark(view: View) -> None:
    assert view.film.told is not None
    wheels = view.film.assembly.wheel
    many = tuple(_part("axle bolt", w, 0.5 + 0.05 * k, 3.0, 2.9) for k, w in enumerate(wheels))
    view.film.told = dataclasses.replace(view.film.told, margins=many)
    assert len(bearing.marked(view, 3.0)) == len(wheels) == 6
    view.time_s = 3.0
    with offscreen():
        painter = Painter((1280, 720), view, tools=False)
        s = painter.scene()
        notes = bearing.bearing(pygame.Surface((1280, 720)), painter.camera, DARK, 1.0, s, view)
    assert [n.words.split(",")[1].strip() for n in notes] == ["0.50", "0.55", "0.60", "0.65"]


def test_a_run_told_of_has_its_margins() -> None:
    told = film().told
    assert told is not None
    assert told.margins == result().verdict.margins
    assert {m.kind for m in told.margins} >= {"spring", "arm", "axle bolt"}


def test_a_part_gives_when_it_first_passes_its_limit() -> None:
    """What is left of a record up to just before that moment has every part whole; up to it and a little more, that
    part is over its limit. Shipped vehicles hold; short arms, driven twice as fast as meant, do not."""
    import trundle

    hard = trundle.run(SHORT_ARMS, "kerb-100", speed_m_s=2.5, near=1)
    giving = [m for m in hard.verdict.margins if m.yields]
    assert giving
    assert all(m.gives_s is not None and m.gives_s <= m.time_s for m in giving)
    assert all(m.gives_s is None for m in hard.verdict.margins if not m.yields)
    first = min(giving, key=lambda m: m.gives_s or 0.0)
    assert first.gives_s is not None
    row = int(np.searchsorted(hard.timeline["time_s"], first.gives_s - 0.5e-3))
    # The last row of a record has no acceleration of its own wheels yet: two rows are left out.
    before = margins_of(hard.assembly, hard.timeline.iloc[: row - 2])
    assert not any(m.yields for m in before)
    after = margins_of(hard.assembly, hard.timeline.iloc[: row + 5])
    assert (first.kind, first.name) in [(m.kind, m.name) for m in after if m.yields]
