"""A real window with real keys and clicks, on a virtual X display (apt: xvfb, xdotool)."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from viewer_parts import keep

ROOT = Path(__file__).parents[2]
NEEDED = [tool for tool in ("Xvfb", "xdotool") if shutil.which(tool) is None]
# The README's test command works on a machine with nothing but Python, and pip has no X server. `.ci/run` installs both
# and so runs this test; all else of the viewer is tested without a display, everywhere.
pytestmark = pytest.mark.skipif(bool(NEEDED), reason=f"not installed: {', '.join(NEEDED)} (apt: xvfb, xdotool)")


@pytest.fixture(scope="module")
def display() -> Iterator[str]:
    read, write = os.pipe()
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(write), "-screen", "0", "1600x900x24", "-nolisten", "tcp"],
        pass_fds=[write], stderr=subprocess.DEVNULL,
    )  # fmt: skip
    os.close(write)
    try:
        with os.fdopen(read) as said:
            yield f":{said.readline().strip()}"
    finally:
        server.terminate()
        server.wait(10)


def until(what: Callable[[], object], seconds: float = 60.0) -> object:
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if found := what():
            return found
        time.sleep(0.1)
    raise AssertionError("nothing happened")


def test_keys_and_clicks_reach_the_window(display: str, tmp_path: Path) -> None:
    """S by key and "picture" by mouse each save a picture; Q closes with exit code 0."""
    run = keep(tmp_path / "run")
    env = {k: v for k, v in os.environ.items() if k != "SDL_VIDEODRIVER"}
    env |= {
        "DISPLAY": display,
        "PYTHONPATH": str(ROOT),
        "XDG_RUNTIME_DIR": str(tmp_path),
        "SDL_VIDEO_WINDOW_POS": "0,0",
    }
    viewer = subprocess.Popen(
        [sys.executable, "-c", "from trundle.cli.watch import watch; watch()", str(run), "--size", "1280x720"],
        cwd=tmp_path, env=env, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
    )  # fmt: skip

    def tool(*args: str) -> str:
        done = subprocess.run(["xdotool", *args], env=env, capture_output=True, text=True, check=False)
        return done.stdout.strip()

    def pictures() -> list[Path]:
        return list(tmp_path.glob("[!.]*.png"))

    def press(*args: str) -> None:
        """One press, and the time a busy machine may take over a picture, before the next is tried."""
        before = len(pictures())
        tool(*args)
        end = time.monotonic() + 5.0
        while time.monotonic() < end and len(pictures()) == before:
            time.sleep(0.1)

    def settled() -> int:
        """How many pictures there are once no more come: presses may still be waiting in the window."""
        count, quiet = len(pictures()), time.monotonic()
        while time.monotonic() < quiet + 3.0:
            time.sleep(0.1)
            if len(pictures()) != count:
                count, quiet = len(pictures()), time.monotonic()
        return count

    try:
        # Without a window manager the keys go to the window under the pointer.
        tool("mousemove", "500", "300")
        until(lambda: press("key", "s") or pictures())
        tool("key", "space")
        before = settled()
        # The button's place, as a window of this size lays it out.
        from viewer_parts import film

        from trundle_viewer.export import offscreen
        from trundle_viewer.layers import shown_at_first
        from trundle_viewer.painter import Painter
        from trundle_viewer.view import View

        with offscreen():
            import pygame

            painter = Painter((1280, 720), View(film(), playing=False, layers=shown_at_first()))
            painter.draw(pygame.Surface((1280, 720)), can_tweak=True)
        rect = next(r for r, b in painter.toolbar.spots if b.action == "save picture")
        tool("mousemove", str(rect.centerx), str(rect.centery))
        until(lambda: press("click", "1") or len(pictures()) > before)
        settled()
        tool("key", "q")
        assert viewer.wait(30) == 0
    finally:
        if viewer.poll() is None:
            viewer.kill()
        said = viewer.communicate()[0]
    assert "Traceback" not in said, said
