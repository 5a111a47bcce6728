"""Compiled kernels on disk: no damaged file, no missing place, no full disk and no other process ends a run."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from small_kernel import EXPECTED, Heard, call, fresh

from trundle.law import compile as law_compile
from trundle.law import kept
from trundle.law.compile import CALLED, PLAIN, is_compiled
from trundle.locks import lock
from trundle.result.ready import make_ready

pytestmark = pytest.mark.skipif(PLAIN, reason="nothing is compiled")

POSIX = os.name == "posix"
SMALL = Path(__file__).with_name("small_kernel.py")


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where kernels are kept, empty; the two that come after it are empty as well."""
    monkeypatch.setenv("NUMBA_CACHE_DIR", str(tmp_path / "place"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "home"))
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path / "temporary"))
    (tmp_path / "temporary").mkdir()
    return tmp_path / "place"


def kept_files(place: Path) -> list[Path]:
    return sorted(place.rglob(f"*{kept.SUFFIX}"))


def called() -> Heard:
    """Calls the kernel in a process that knows nothing of it, as it were, and looks at what it gives."""
    with Heard() as heard:
        assert call(fresh()) == EXPECTED
    return heard


def environment(place: Path) -> dict[str, str]:
    """The same places for a process of its own."""
    top = place.parent
    return {
        **os.environ, "NUMBA_CACHE_DIR": str(place), "XDG_CACHE_HOME": str(top / "home"),
        "TMPDIR": str(top / "temporary"),
    }  # fmt: skip


def test_what_is_compiled_is_kept_and_loaded(place: Path) -> None:
    first, second = called(), called()
    assert (first.compiled, first.news, second.compiled, second.news) == (1, [], 0, [])
    (file,) = kept_files(place)
    assert kept.read(file) is not None
    assert not list(place.rglob("*.tmp"))


# Damage. All in one process of its own, which a bad file must not end either.

DAMAGES = """
import os, pickle, random, sys, hashlib
from pathlib import Path
from small_kernel import EXPECTED, Heard, call, fresh
from trundle.law import kept

def called():
    with Heard() as heard:
        assert call(fresh()) == EXPECTED, call(fresh())
    return heard

place = Path(os.environ["NUMBA_CACHE_DIR"])
called()
(file,) = place.rglob("*.kernel")
good = file.read_bytes()
key = good[17:49]

def put(content):
    def damage():
        file.write_bytes(content)
    return damage

def instead(make):
    def damage():
        file.unlink()
        make()
    return damage

def flipped(bit):
    content = bytearray(good)
    content[bit // 8] ^= 1 << bit % 8
    return bytes(content)

def whole(payload):
    return kept.HEAD + key + hashlib.sha256(key + payload).digest() + payload

damages = {f"cut to {n}": put(good[:n]) for n in (0, 1, 16, 17, 40, 81, 82, len(good) // 2, len(good) - 1)}
damages["longer by a byte"] = put(good + b"x")
damages["zeros"] = put(bytes(len(good)))
seed = int(sys.argv[1])
for bit in random.Random(seed).sample(range(8 * len(good)), 25):
    damages[f"bit {bit} flipped"] = put(flipped(bit))
damages["a pickle of something else"] = put(pickle.dumps({"a": 1}))
damages["whole, but of something else"] = put(whole(pickle.dumps({"a": 1})))
damages["whole, but no pickle"] = put(whole(b"abc"))
damages["whole, but empty"] = put(whole(b""))
damages["whole, with a class that is no more"] = put(whole(b"cnowhere\\nNothing\\n."))
damages["for another kernel"] = put(kept.HEAD + bytes(32) + hashlib.sha256(bytes(32) + good[81:]).digest() + good[81:])
if os.name == "posix":
    damages["others may write it"] = lambda: file.chmod(0o666)
    damages["a pipe"] = instead(lambda: os.mkfifo(file))
    damages["endless"] = instead(lambda: file.symlink_to("/dev/zero"))
    if os.geteuid() == 0:
        damages["someone else's"] = lambda: os.chown(file, 12345, 12345)
for name, damage in damages.items():
    print(name, flush=True)
    damage()
    first, second = called(), called()
    assert (first.compiled, first.news) == (1, ["damaged"]), (name, first.compiled, first.news)
    assert (second.compiled, second.news) == (0, []), name
    assert file.is_file() and not file.is_symlink() and [file] == list(place.rglob("*.kernel")), name
print("DONE", len(damages))
"""


def test_each_damage_is_mended_once_and_for_all(place: Path) -> None:
    """Compiled once more, said once, kept anew: the next process loads it."""
    done = subprocess.run(
        [sys.executable, "-c", DAMAGES, "20260101"], cwd=SMALL.parent, env=environment(place), capture_output=True,
        text=True, timeout=120,
    )  # fmt: skip
    assert done.returncode == 0, (done.stdout[-200:], done.stderr[-2000:])
    assert int(done.stdout.rsplit("DONE ", 1)[1]) >= 40


def test_a_file_that_is_gone_or_cannot_be_opened_is_compiled_without_a_word(place: Path) -> None:
    called()
    (file,) = kept_files(place)
    for spoil in (file.unlink, lambda: (file.unlink(), file.symlink_to(file)), lambda: shutil.rmtree(place)):
        spoil()
        heard = called()
        assert (heard.compiled, heard.news) == (1, [])
        assert called().compiled == 0


def test_a_folder_in_the_place_of_a_file_sends_it_to_the_next_place(place: Path) -> None:
    called()
    (file,) = kept_files(place)
    file.unlink()
    file.mkdir()
    (file / "something").touch()
    assert called().compiled == 1
    assert called().compiled == 0
    assert len(kept_files(place.parent / "home")) == 1
    assert (file / "something").exists()


def test_leftovers_of_a_killed_process_harm_nobody_and_go(place: Path) -> None:
    """Those of today may still be written to."""
    called()
    (file,) = kept_files(place)
    old, new = file.with_name(".old.tmp"), file.with_name(".new.tmp")
    old.write_bytes(b"half")
    new.write_bytes(b"half")
    os.utime(old, (1.0, 1.0))
    file.unlink()
    assert called().compiled == 1
    assert not old.exists()
    assert new.exists()


# Places.


def test_the_first_place_that_can_be_written_to_takes_it(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file stands in the way of one after the other, as root may write anywhere else. What is kept is found again."""
    for blocked, taken in ((None, "place"), ("place", "home"), ("home", "temporary")):
        if blocked is not None:
            shutil.rmtree(place.parent / blocked)
            (place.parent / blocked).touch()
        first, second = called(), called()
        assert (first.compiled, first.news, second.compiled) == (1, [], 0)
        assert len(kept_files(place.parent / taken)) == 1


@pytest.mark.parametrize("home", [None, "", "relative", "/dev/null", "/proc/nowhere/\N{SNOWMAN}"])
def test_no_home_is_no_trouble(place: Path, home: str | None, monkeypatch: pytest.MonkeyPatch) -> None:
    """HOME unset, empty, relative (here: of the working folder), a file, or none that can be made."""
    place.touch()
    monkeypatch.delenv("XDG_CACHE_HOME")
    if home is None:
        monkeypatch.delenv("HOME", raising=False)

        def unknown() -> Path:
            raise RuntimeError("Could not determine home directory.")

        monkeypatch.setattr(Path, "home", unknown)
    else:
        monkeypatch.setenv("HOME", home)
    before = set(Path.cwd().iterdir())
    first, second = called(), called()
    assert (first.compiled, first.news, second.compiled) == (1, [], 0)
    assert len(kept_files(place.parent / "temporary")) == 1
    assert set(Path.cwd().iterdir()) == before


def test_with_no_place_at_all_it_is_compiled_in_memory_and_said(place: Path) -> None:
    for blocked in (place, place.parent / "home"):
        blocked.touch()
    (place.parent / "temporary").rmdir()
    (place.parent / "temporary").touch()
    for _ in range(2):
        heard = called()
        assert (heard.compiled, heard.news) == (1, ["unkept"])


def test_the_temporary_folder_that_another_has_prepared_is_not_taken(place: Path) -> None:
    """Its name can be guessed."""
    place.touch()
    (place.parent / "home").touch()
    *_, folder = kept.places()
    assert folder.parent == place.parent / "temporary"
    trap = place.parent / "trap"
    trap.mkdir()
    folder.symlink_to(trap)
    assert called().news == ["unkept"]
    folder.unlink()
    folder.mkdir()
    folder.chmod(0o777)
    assert called().news == (["unkept"] if POSIX else [])
    folder.chmod(0o700)
    assert called().news == []
    assert not list(trap.iterdir())


FULL = """
import resource
from small_kernel import EXPECTED, Heard, call, fresh
resource.setrlimit(resource.RLIMIT_FSIZE, (1000, resource.RLIM_INFINITY))
for _ in range(2):
    with Heard() as heard:
        assert call(fresh()) == EXPECTED
    assert (heard.compiled, heard.news) == (1, ["unkept"]), (heard.compiled, heard.news)
"""


@pytest.mark.skipif(not POSIX, reason="no limit can be set")
def test_a_disk_that_fills_up_while_it_is_written_leaves_it_in_memory(place: Path) -> None:
    """The system takes no more than 1000 bytes of a file. Nothing of one is left."""
    done = subprocess.run(
        [sys.executable, "-c", FULL], cwd=SMALL.parent, env=environment(place), capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr
    assert [f.name for f in place.parent.rglob("*") if f.is_file()] == [".lock"]


# Several at once.


def started(place: Path, hold_s: float = 0.0) -> subprocess.Popen[str]:
    """A process that calls the kernel, and takes so long to compile it."""
    return subprocess.Popen(
        [sys.executable, str(SMALL), str(hold_s)], env=environment(place), stdout=subprocess.PIPE, text=True
    )


def answer(process: subprocess.Popen[str]) -> dict[str, Any]:
    out, _ = process.communicate(timeout=120)
    assert process.returncode == 0
    found: dict[str, Any] = json.loads(out.splitlines()[-1])
    assert found["found"] == EXPECTED
    return found


def test_of_two_at_once_one_compiles_and_the_other_waits_says_so_and_loads(place: Path) -> None:
    first = started(place, hold_s=1.0)
    assert first.stdout is not None
    assert first.stdout.readline() == "compiling\n"
    second = answer(started(place))
    assert answer(first)["compiled"] == 1
    assert second["compiled"] == 0
    # On a busy computer the first may be done before the second asks.
    assert second["news"] in (["waiting"], [])


def test_several_at_once_leave_one_whole_file(place: Path) -> None:
    processes = [started(place, hold_s=0.3) for _ in range(3)]
    assert sum(answer(p)["compiled"] for p in processes) == 1
    assert len(kept_files(place)) == 1
    assert called().compiled == 0


@pytest.mark.skipif(not POSIX, reason="no such signal")
def test_a_killed_process_holds_nobody_up(place: Path) -> None:
    first = started(place, hold_s=60.0)
    assert first.stdout is not None
    assert first.stdout.readline() == "compiling\n"
    first.kill()
    first.communicate()
    began = time.monotonic()
    heard = called()
    assert (heard.compiled, heard.news) == (1, [])
    assert time.monotonic() - began < 30.0
    assert called().compiled == 0


@contextmanager
def held(place: Path) -> Iterator[None]:
    """Another has the turn to compile the small kernel, for good."""
    called()
    (file,) = kept_files(place)
    file.unlink()
    with file.with_name(".lock").open("r+b") as f:
        assert lock(f.fileno())
        yield


def test_one_that_has_been_halted_is_not_waited_for_for_ever(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from trundle.law import kernel_cache

    monkeypatch.setattr(kernel_cache, "LONGEST_WAIT_S", 0.2)
    monkeypatch.setattr(kernel_cache, "PATIENCE_S", 0.1)
    monkeypatch.setattr(kernel_cache._Turn, "_tired", False)
    with held(place):
        heard = called()
        assert (heard.compiled, heard.news) == (1, ["waiting"])
        assert called().compiled == 0


def test_a_disk_without_locks_does_without(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def none(handle: int) -> bool:
        raise OSError("no locks here")

    monkeypatch.setattr("trundle.law.kernel_cache.lock", none)
    first, second = called(), called()
    assert (first.compiled, first.news, second.compiled) == (1, [], 0)


def test_ctrl_c_while_it_compiles_leaves_what_the_next_run_mends(place: Path) -> None:
    """Nothing kept, nothing held; in the same process, too."""

    def interrupt(done: int, going: bool) -> None:
        raise KeyboardInterrupt

    small = fresh()
    law_compile.tell_of_compiling(interrupt)
    try:
        with pytest.raises(KeyboardInterrupt):
            call(small)
    finally:
        law_compile.tell_of_compiling(None)
    assert kept_files(place) == []
    (mark,) = place.rglob(".lock")
    with mark.open("r+b") as f:
        assert lock(f.fileno())
    assert call(small) == EXPECTED
    assert called().compiled == 0


# What is old goes.


def old_folder(place: Path, name: str, days: float, files: tuple[str, ...] = ("a.b-1.kernel",)) -> Path:
    folder = place / name
    for file in files:
        (folder / file).parent.mkdir(parents=True, exist_ok=True)
        (folder / file).write_bytes(b"x")
    then = time.time() - days * kept.DAY_S
    for one in [*folder.rglob("*"), folder]:
        os.utime(one, (then, then))
    return folder


def test_what_was_not_used_for_a_month_goes_when_something_new_is_kept(place: Path) -> None:
    """Also as numba laid it out; nothing that is not Trundle's, and nothing in use."""
    numba = ("law_5595df2ad279b0840f1fd564fb367dda53a2607f/kernels.accept-21.py311.1.nbc", "law_5/k.py311.nbi")
    gone = [old_folder(place, f"{i:016x}", 31.0) for i in range(3)] + [old_folder(place, "a" * 16, 40.0, numba)]
    stays = [
        old_folder(place, "b" * 16, 29.0),
        old_folder(place, "c" * 16, 99.0, ("a.b-1.kernel", "thesis.txt")),
        old_folder(place, "notes", 99.0),
        old_folder(place, "law_5595df2ad279b0840f1fd564fb367dda53a2607f", 99.0, ("k.nbi",)),
    ]
    called()
    assert [f for f in gone if f.exists()] == []
    assert [f for f in stays if not f.exists()] == []
    assert called().compiled == 0


def test_of_many_the_newest_stay(place: Path) -> None:
    """Who works on the law compiles it twenty times a day."""
    folders = [old_folder(place, f"{i:016x}", 0.1 * i + 0.1) for i in range(kept.MOST_FOLDERS + 5)]
    called()
    assert [f.exists() for f in folders] == [True] * (kept.MOST_FOLDERS - 1) + [False] * 6


def test_a_kernel_in_use_does_not_grow_old(place: Path) -> None:
    """Loading it renews its date, at most once a day."""
    called()
    (file,) = kept_files(place)
    then = time.time() - 29.0 * kept.DAY_S
    os.utime(file, (then, then))
    assert called().compiled == 0
    assert time.time() - file.stat().st_mtime < kept.DAY_S


# The law itself, from a copy of what is kept of it.


@pytest.fixture
def law(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    """The files that a run loads, in a place of their own."""
    make_ready()
    copies = []
    for source, name in CALLED:
        folder = law_compile._folder_of(source)
        found = [f for p in kept.places() for f in (p / folder).glob(f"{source.stem}.{name}-*{kept.SUFFIX}")]
        copies.append(tmp_path / "place" / folder / found[0].name)
        copies[-1].parent.mkdir(parents=True)
        shutil.copy(found[0], copies[-1])
    monkeypatch.setenv("NUMBA_CACHE_DIR", str(tmp_path / "place"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    return copies


def test_what_is_damaged_does_not_count_as_compiled(law: list[Path]) -> None:
    """Either of the two: or the wait would come without a word."""
    assert is_compiled()
    for file in law:
        good = file.read_bytes()
        middle = len(good) // 2
        for bad in (b"", good[:-1], good[:middle] + bytes([good[middle] ^ 1]) + good[middle + 1 :]):
            file.write_bytes(bad)
            assert not is_compiled()
        file.unlink()
        assert not is_compiled()
        file.write_bytes(good)
        assert is_compiled()
        if POSIX:
            file.chmod(0o666)
            assert not is_compiled()
            file.chmod(0o644)


def trundle(*args: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "-m", "trundle.cli.main", *args], capture_output=True, text=True)


@pytest.mark.slow
def test_a_run_a_study_and_a_sheet_mend_the_law(law: list[Path], tmp_path: Path) -> None:
    """Code 0, one line, the same numbers to the last bit; about a minute."""
    good = [f.read_bytes() for f in law]
    assert trundle("run", "teasel", "kerb-50", "--out", str(tmp_path / "before")).returncode == 0
    commands = (
        ("run", "teasel", "kerb-50", "--out", str(tmp_path / "after")),
        ("compare", "teasel", "kerb-50", "--vary", "hull.mass_kg=180,190", "--out", str(tmp_path / "study")),
        ("sheet", "teasel"),
    )
    for command in commands:
        law[0].write_bytes(good[0][:-1000])
        law[1].write_bytes(b"")
        done = trundle(*command)
        assert done.returncode == 0, done.stderr
        assert done.stderr.count("Getting the force law ready") == 1
        assert "Getting the force law ready again" in done.stderr
        again = trundle(*command)
        assert again.returncode == 0
        assert "Getting" not in again.stderr
    timelines = [(tmp_path / name / "timeline.parquet").read_bytes() for name in ("before", "after")]
    assert timelines[0] == timelines[1]
