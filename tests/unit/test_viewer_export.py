"""Pictures and movies without a window."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pygame
import pytest
from PIL import Image
from viewer_parts import film

from trundle.errors import InputError
from trundle.findings.events import BUMP
from trundle_viewer import movie
from trundle_viewer.export import check_size, export_frame, export_movie


def _only(folder: Path) -> list[str]:
    return sorted(p.name for p in folder.iterdir())


def test_a_picture_is_the_same_each_time(tmp_path: Path) -> None:
    for name in ("a.png", "b.png"):
        export_frame(film(), None, 2.76, tmp_path / name, (640, 360))
    assert (tmp_path / "a.png").read_bytes() == (tmp_path / "b.png").read_bytes()
    with Image.open(tmp_path / "a.png") as image:
        assert image.size == (640, 360)
    assert _only(tmp_path) == ["a.png", "b.png"]


@pytest.mark.parametrize("kind", [".gif", ".mp4"])
def test_a_movie_is_the_same_each_time(tmp_path: Path, kind: str) -> None:
    if kind == ".mp4" and not movie.have_mp4():
        pytest.skip("imageio-ffmpeg is not installed")
    for name in ("a", "b"):
        count = export_movie(film(), None, tmp_path / f"{name}{kind}", (480, 270), 2.7, 2.9, 2.0)
        assert count == {".gif": 8, ".mp4": 24}[kind]
    assert (tmp_path / f"a{kind}").read_bytes() == (tmp_path / f"b{kind}").read_bytes()
    assert _only(tmp_path) == [f"a{kind}", f"b{kind}"]


def test_a_gif_plays_at_the_speed_asked_for(tmp_path: Path) -> None:
    """0.2 s slowed 4 times lasts 0.8 s."""
    export_movie(film(), None, tmp_path / "a.gif", (480, 270), 2.7, 2.9, 4.0)
    lasts = 0
    with Image.open(tmp_path / "a.gif") as image:
        for k in range(image.n_frames):
            image.seek(k)
            lasts += image.info["duration"]
    assert lasts == pytest.approx(800, abs=50)


def test_an_mp4_is_one_a_player_reads(tmp_path: Path) -> None:
    """ffmpeg decodes every frame without complaint."""
    if not movie.have_mp4():
        pytest.skip("imageio-ffmpeg is not installed")
    import imageio_ffmpeg

    export_movie(film(), None, tmp_path / "a.mp4", (480, 270), 2.7, 2.8, 2.0)
    done = subprocess.run(
        [imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", "-i", str(tmp_path / "a.mp4"), "-f", "null", "-"],
        capture_output=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0
    assert done.stderr == b""


def test_a_broken_off_movie_leaves_nothing(tmp_path: Path) -> None:
    def stop(share: float) -> None:
        if share > 0.5:
            raise KeyboardInterrupt

    for kind in (".gif", ".mp4") if movie.have_mp4() else (".gif",):
        with pytest.raises(KeyboardInterrupt):
            export_movie(film(), None, tmp_path / f"a{kind}", (480, 270), 2.7, 2.9, on_progress=stop)
    assert _only(tmp_path) == []


def test_a_broken_off_movie_keeps_the_one_before(tmp_path: Path) -> None:
    out = tmp_path / "a.gif"
    out.write_bytes(b"earlier")

    def stop(share: float) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        export_movie(film(), None, out, (480, 270), 2.7, 2.9, on_progress=stop)
    assert out.read_bytes() == b"earlier"
    assert _only(tmp_path) == ["a.gif"]


def test_places_that_cannot_be_written_are_named(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    for out in (tmp_path / "file" / "a.gif", tmp_path / "folder.gif"):
        if out.suffix == ".gif" and out.parent == tmp_path:
            out.mkdir()
        with pytest.raises(InputError, match=r"a\.gif|folder\.gif"):
            export_movie(film(), None, out, (480, 270), 2.7, 2.8)
    with pytest.raises(InputError, match="cannot be written"):
        export_frame(film(), None, 1.0, tmp_path / "file" / "a.png", (480, 270))


def test_times_and_sizes_out_of_range_are_refused(tmp_path: Path) -> None:
    out = tmp_path / "a.gif"
    with pytest.raises(InputError, match="outside the run"):
        export_movie(film(), None, out, (480, 270), 2.0, 99.0)
    with pytest.raises(InputError, match="is not after"):
        export_movie(film(), None, out, (480, 270), 2.0, 1.0)
    with pytest.raises(InputError, match="slower"):
        export_movie(film(), None, out, (480, 270), 2.0, 2.1, 0.0)
    with pytest.raises(InputError, match="a GIF of 1000 frames"):
        export_movie(film(), None, out, (320, 240), 2.0, 2.1, 500.0)
    assert _only(tmp_path) == []
    assert check_size((641, 361)) == (640, 360)


def test_without_the_encoder_it_offers_a_gif(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(movie, "have_mp4", lambda: False)
    with pytest.raises(InputError, match=r"imageio-ffmpeg.*\.gif"):
        export_movie(film(), None, tmp_path / "a.mp4", (480, 270), 2.7, 2.8)


def test_export_leaves_no_window_behind(tmp_path: Path) -> None:
    export_frame(film(), None, 1.0, tmp_path / "a.png", (480, 270))
    assert not pygame.display.get_init()


def test_a_gif_keeps_the_colour_of_a_sign_that_comes_late(tmp_path: Path) -> None:
    """No stop is hit in the first frame, one is in the last: its tag has the theme's own colour there."""
    from trundle_viewer.palette import DARK

    first = next(e for e in film().events if e.kind == BUMP)
    out = tmp_path / "a.gif"
    export_movie(film(), None, out, (640, 360), first.time_s - 0.05, first.time_s + 0.1, layers={"tags"})
    with Image.open(out) as image:
        found = []
        for k in (0, image.n_frames - 1):
            image.seek(k)
            # The strip below has ticks for all events.
            picture = image.convert("RGB").crop((0, 0, 640, 310))
            found.append(sum(n for n, c in picture.getcolors(640 * 310) or [] if c == DARK.stop))
    assert found[0] == 0
    assert found[1] > 10  # its thin line; the letters are smoothed
