"""Files of studies and baselines, damaged or made to harm: read, or refused by name; never another exception.

Attacked are the list of a baseline (TOML), its kept figures (JSON) and a study's journal (SQLite). Nothing may be
written outside the folder. What a study writes is attacked in test_attack_study_written.py.
"""

from __future__ import annotations

import contextlib
import json
import math
import shutil
import sqlite3
import sys
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from trundle.cli.main import main
from trundle.errors import InputError
from trundle.spec.shipped import find, folder
from trundle.study.baseline import check, compare, open_baseline
from trundle.study.files import read_bytes
from trundle.study.journal import Journal
from trundle.study.junit import junit_xml
from trundle.study.kept import changed_since, read_kept, write_kept
from trundle.study.pool import Outcome
from trundle.study.runs import JOURNAL, flat

SET = (folder("vehicles").parent / "baselines" / "shipped.toml").read_bytes()
KEPT = {
    "format": 2,
    "identity": {"trundle": "0.1.0", "source": "15a9b8515adecf83"},
    "history": [{"reason": "new dampers", "causes": ["a 1 -> 2"], "moved": ["car over yard: x 1 to 2 (worse)"]}],
    "hashes": {"car": "00ff", "yard": "ff00"},
    "settings": {"hull.mass_kg": 300},
    "runs": [
        {
            "vehicle": "car", "course": "yard", "ended": "", "runs": 8, "over": 7,
            "figures": {"peak_wheel_load_N": 2650.0, "x": [1.5, 1.25, 1.75]},
        },
        {"vehicle": "car", "course": "kerb-50", "ended": "stalled", "figures": {"peak_wheel_load_N": 1.0}},
    ],
    "vehicles": {"car": {"hull": {"mass_kg": 265, "at_mm": [1, 2.5, [3]]}}},
    "courses": {"yard": {"obstacle": [{"kind": "kerb up"}]}, "kerb-50": {}},
}  # fmt: skip
KEPT_BYTES = json.dumps(KEPT, indent=1).encode()
MARKUP = "<script>alert(1)</script>\"'&]]>{{7*7}}{% raw %}"
ODD = st.sampled_from(
    [
        *(None, True, -1, 0, 10**400, 1e308, math.nan, math.inf),
        *("", "x" * 10_000, MARKUP, "../../x", "/etc/passwd", "a\0b", "\x1b[2J", "\u202e"),
        *([], {}, [[]], {"": {}}, [1] * 5_000),
    ]
)
QUIET = {"deadline": None, "suppress_health_check": [HealthCheck.too_slow, HealthCheck.function_scoped_fixture]}


@st.composite
def damaged(draw: st.DrawFn, whole: bytes) -> bytes:
    """The file with bytes flipped, lost, doubled, or cut off."""
    raw = bytearray(whole)
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, max(len(raw) - 1, 0)))
        size = draw(st.integers(1, 40))
        way = draw(st.sampled_from(["flip", "lose", "double", "cut", "noise"]))
        if way == "flip" and raw:
            raw[at] ^= 1 << draw(st.integers(0, 7))
        elif way == "lose":
            del raw[at : at + size]
        elif way == "double":
            raw[at:at] = raw[at : at + size]
        elif way == "cut":
            del raw[at:]
        else:
            raw[at:at] = draw(st.binary(max_size=20))
    return bytes(raw)


def places(node: Any) -> Iterator[tuple[Any, Any]]:
    """Every table or list in the content with one of its keys."""
    for key in list(node) if isinstance(node, dict) else range(len(node)):
        yield node, key
        if isinstance(node[key], (dict, list)):
            yield from places(node[key])


@st.composite
def twisted(draw: st.DrawFn) -> bytes:
    """The kept figures with up to three entries of another type, removed, renamed, or nested deep."""
    content = json.loads(KEPT_BYTES)
    for _ in range(draw(st.integers(1, 3))):
        every = list(places(content))
        if not every:
            break
        node, key = draw(st.sampled_from(every))
        way = draw(st.sampled_from(["swap", "remove", "rename", "repeat"]))
        if way == "swap":
            node[key] = deepcopy(draw(ODD))
        elif way == "remove":
            del node[key]
        elif way == "rename" and isinstance(node, dict):
            node[draw(st.sampled_from([MARKUP, "../x", "\x1b[2J", "x" * 300, ""]))] = node.pop(key)
        elif isinstance(node, list):
            node.append(node[key])
    return json.dumps(content).encode()


def told(e: InputError, path: str | Path = ".toml") -> None:
    """The refusal names the file (the list, or one that it names), is short, and cannot steer a terminal."""
    assert e.problems
    for p in e.problems:
        assert str(path) in str(p)
        assert len(str(p)) < 1_200
        assert not any(ord(c) < 0x20 and c not in "\n\t" for c in p.problem), p.problem


def kept_is_read_or_refused(path: Path) -> None:
    try:
        kept = read_kept(path)
    except InputError as e:
        told(e, path)
        return
    for figure in (v for r in kept.runs for v in r.figures.values()):
        assert all(map(math.isfinite, (figure.median, figure.low, figure.high)))
        assert figure.low <= figure.median <= figure.high
    # What a check does with it next, and writing it again gives the same back.
    said = changed_since(kept, kept)
    assert all(line.isprintable() for line in said)
    found = compare("x", kept, kept, {"every": 0})
    assert len(found.moved) == 0
    ET.fromstring(junit_xml(found))
    again = path.with_name("again.json")
    write_kept(again, kept, kept.history)
    assert read_kept(again).runs == kept.runs


@settings(max_examples=300, **QUIET)
@given(st.one_of(damaged(KEPT_BYTES), twisted()))
def test_damaged_kept_figures_are_read_or_refused(tmp_path: Path, raw: bytes) -> None:
    """Any byte flipped, any part lost, any entry of another type; nothing appears beside the file."""
    file = tmp_path / "set.kept.json"
    file.write_bytes(raw)
    kept_is_read_or_refused(file)
    assert {p.name for p in tmp_path.iterdir()} <= {"set.kept.json", "again.json"}


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[" * 100_000, "cannot be read"),
        ('{"format": 1, "vehicles": ' + '{"a":' * 50_000, "cannot be read"),
        ('{"format": 1' + "0" * 5_000 + "}", "another version|cannot be read"),
        ('{"format": 1e999}', "another version|cannot be read"),
        ('{"format": "<b>"}', "layout unknown"),
        (json.dumps({**KEPT, "runs": KEPT["runs"] * 2}), "stands there twice"),
        (json.dumps({**KEPT, "more": 1}), "more"),
        (json.dumps(KEPT).replace("2650.0", "NaN"), "cannot be read: expected value at line 1 column"),
        (json.dumps(KEPT).replace("2650.0", "true"), "number"),
        (json.dumps(KEPT).replace("2650.0", '"2650"'), "number"),
        (json.dumps(KEPT).replace('"car"', '"\\ud800"'), "cannot be read"),
        ("", "cannot be read"),
    ],
)
def test_kept_figures_made_to_harm_are_refused(tmp_path: Path, text: str, said: str) -> None:
    """Deep nesting, 5000 digits, a run twice, figures that are no numbers, half a character."""
    file = tmp_path / "set.kept.json"
    file.write_text(text)
    with pytest.raises(InputError, match=said) as caught:
        read_kept(file)
    told(caught.value, file)


def test_a_folder_a_pipe_and_a_huge_file_are_refused(tmp_path: Path) -> None:
    """A pipe would be waited at for ever; the huge file is sparse, 1 TB on paper, and is not read."""
    import os

    (tmp_path / "a").mkdir()
    os.mkfifo(tmp_path / "b")
    with (tmp_path / "c").open("wb") as file:
        file.truncate(10**12)
    for name, said in (("a", "not a file"), ("b", "not a file"), ("c", "MB")):
        with pytest.raises(InputError, match=said):
            read_kept(tmp_path / name)
    assert read_bytes(Path(__file__)).startswith(b'"""Files of studies')


@settings(max_examples=200, **QUIET)
@given(damaged(SET))
def test_a_damaged_list_is_read_or_refused(tmp_path: Path, raw: bytes) -> None:
    """The shipped list with bytes flipped, lost, doubled or cut off."""
    file = tmp_path / "set.toml"
    file.write_bytes(raw)
    try:
        found = open_baseline(file)
    except InputError as e:
        told(e, file)
    else:
        assert len(found.plan) >= 1
        assert found.kept.parent == tmp_path
    assert [p.name for p in tmp_path.iterdir()] == ["set.toml"]


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (("every = ", "every = 1" + "0" * 400 + " #"), "is not an amount"),
        (("every = ", "every = nan #"), "is not an amount|finite"),
        (("every = ", "every = true #"), "tolerance.every"),
        (("every = ", 'every = "1e999%" #'), "is not an amount"),
        (("every = ", "every = [1] #"), "tolerance.every"),
        (("every = ", "deep = " + "[" * 40 + "]" * 40 + " #"), "nested too deeply"),
        (('"teasel"', '"../../../etc/passwd"'), "no such vehicle|not readable as TOML"),
        (('"teasel"', '"' + "x" * 5_000 + '"'), "no such vehicle"),
        (('"teasel"', '"a\\u0000b"'), "control characters"),
        (('"teasel"', '"a\\u001b[2Jb.toml"'), "control characters"),
        (('"teasel"', '"<script>"'), "no such vehicle"),
        (('"teasel"', '"", "."'), "no such vehicle|is a folder"),
        (('"teasel"', ", ".join(['"teasel"'] * 200)), "up to 100"),
        (('note = "', 'settings = { "hull.mass_kg" = nan, "no.such" = 1 }\nnote = "'), "no.such|hull"),
    ],
)
def test_a_list_made_to_harm_is_refused(tmp_path: Path, change: tuple[str, str], said: str) -> None:
    file = tmp_path / "set.toml"
    text = SET.decode()
    assert change[0] in text
    file.write_text(text.replace(*change, 1))
    with pytest.raises(InputError, match=said) as caught:
        open_baseline(file)
    told(caught.value, "")


@pytest.mark.parametrize(
    "name", ["../vehicles/teasel", "/etc/passwd", "a/b", "x" * 5_000, "", ".", "..", "<b>", "a\0b.toml"]
)
def test_a_name_that_is_no_name_is_refused(name: str) -> None:
    """A baseline of the shipped ones is a name, not a way to somewhere else."""
    with pytest.raises(InputError):
        open_baseline(name)


def test_a_misspelt_figure_in_a_tolerance_is_refused(tmp_path: Path) -> None:
    """It would hold nothing. The nearest name is given, before anything is run."""
    car, yard = find("vehicles", "teasel"), find("courses", "yard")
    shutil.copy(car, tmp_path / "car.toml")
    shutil.copy(yard, tmp_path / "yard.toml")
    file = tmp_path / "set.toml"
    file.write_text('vehicles=["car.toml"]\ncourses=["yard.toml"]\n[tolerance]\nevery=1\npeak_wheel_lod_N = 3\n')
    (tmp_path / "set.kept.json").write_text(json.dumps({**KEPT, "runs": KEPT["runs"][:1]}))
    said = r'set.toml:5: tolerance.peak_wheel_lod_N: .*did you mean "peak_wheel_load_N"'
    with pytest.raises(InputError, match=said):
        check(open_baseline(file))
    with pytest.raises(SystemExit) as left:
        main(["baseline", "check", str(file)])
    assert left.value.code == 2


def test_a_file_whose_name_is_no_text_is_refused(tmp_path: Path) -> None:
    """Bytes that are no UTF-8, or that steer a terminal, could stand in no table and no report. Some disks take no
    such name, Linux's take any."""
    for name in ("car\udcff", "car\x1b[2J"):
        try:
            (tmp_path / f"{name}-set.toml").write_text('vehicles=["teasel"]\ncourses=["yard"]\n')
        except (OSError, ValueError):
            assert sys.platform != "linux"
            continue
        with pytest.raises(InputError, match="rename") as caught:
            open_baseline(tmp_path / f"{name}-set.toml")
        assert str(caught.value).isprintable()


# The journal.


@pytest.fixture(scope="module")
def journal_bytes(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """A study's notebook with a few rows of each outcome."""
    path = tmp_path_factory.mktemp("journal") / JOURNAL
    with Journal(path) as journal:
        for i, kind in enumerate(("done", "refused", "killed", "done") * 3):
            value = {"peak_wheel_load_N": 100.0 + i, "standing": {"front": 1.0}} if kind == "done" else None
            journal.write(Outcome(f"key{i}", kind, value, "" if value else "why", 0.1), {"variant": i})
    return path.read_bytes()


def journal_is_read_or_refused(path: Path) -> None:
    found: list[Outcome | None] = []
    try:
        with Journal(path) as journal:
            found += journal.outcomes(f"key{i}" for i in range(12))
    except InputError as e:
        told(e, path)
    for outcome in found:
        if outcome is not None:
            assert outcome.kind in ("done", "refused", "killed", "overtime")
            flat(outcome.value or {})


@settings(max_examples=150, derandomize=True, **QUIET)
@given(data=st.data())
def test_a_damaged_journal_is_read_or_refused(tmp_path: Path, journal_bytes: bytes, data: st.DataObject) -> None:
    """Bytes flipped, lost, doubled or cut off anywhere in the database."""
    path = tmp_path / JOURNAL
    for part in ("", "-wal", "-shm"):
        path.with_name(JOURNAL + part).unlink(missing_ok=True)
    path.write_bytes(data.draw(damaged(journal_bytes)))
    journal_is_read_or_refused(path)


@pytest.mark.parametrize(
    ("column", "value"),
    [
        *(("figures", v) for v in ("{", "[1]", "7", b"\xff", 3, "[" * 100_000)),
        *(("kind", v) for v in ("", "odd", b"\xff", 3)),
        *(("figures", v) for v in ("null", '{"x": NaN}')),
        *(("reason", v) for v in (b"\xff", 3)),
        *(("wall_s", v) for v in ("soon", b"\xff")),
    ],
)
def test_a_journal_with_a_wrong_row_is_read_or_refused(
    tmp_path: Path, journal_bytes: bytes, column: str, value: object
) -> None:
    """Any program can write to a database: rows of another type than the study's own."""
    path = tmp_path / JOURNAL
    path.write_bytes(journal_bytes)
    with contextlib.closing(sqlite3.connect(path)) as db, db:
        db.execute(f"UPDATE run SET {column} = ? WHERE key = 'key0'", (value,))
    journal_is_read_or_refused(path)
