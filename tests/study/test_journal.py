"""The journal: what is finished is kept, whatever happens; what is not a journal is refused."""

from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from trundle.errors import InputError
from trundle.study.journal import KINDS, OLD_FAILED, Journal
from trundle.study.pool import Outcome


def outcome(key: str, value: float = 0.1) -> Outcome:
    return Outcome(key, "done", {"x": value}, "", 0.01)


def test_numbers_come_back_bit_for_bit(tmp_path: Path) -> None:
    values = [0.1 + 0.2, 1e-310, -0.0, sys.float_info.max, 2**53 + 1.0, 1 / 3]
    with Journal(tmp_path / "j") as journal:
        for i, value in enumerate(values):
            journal.write(outcome(str(i), value), {})
    with Journal(tmp_path / "j") as journal:
        back = [o.value["x"] for o in journal.outcomes(map(str, range(6))) if o]
    assert [v.hex() for v in back] == [v.hex() for v in values]


def test_only_outcomes_of_the_inputs_are_final(tmp_path: Path) -> None:
    """What was killed, ran out of time, or ended by a fault is tried again when the study is taken up again, and so is
    what an older version called failed: a refusal or a fault."""
    with Journal(tmp_path / "j") as journal:
        for kind in (*KINDS, OLD_FAILED):
            journal.write(Outcome(kind, kind, None, "why", 0.0), {})
        assert [k for k in (*KINDS, OLD_FAILED, "none") if journal.finished(k)] == ["done", "refused"]
        assert list(journal.outcomes([OLD_FAILED])) == [None]


@pytest.mark.parametrize("figure", ["1e400", f"1{'0' * 400}", '"3.1"', "true", "[1]", '{"a": "b"}', "NaN", "-Infinity"])
def test_a_figure_that_no_study_writes_is_damage(tmp_path: Path, figure: str) -> None:
    """A text would be ranked with the numbers, a whole number of 400 digits fits no column."""
    path = tmp_path / "j"
    with Journal(path) as journal:
        journal.write(outcome("k"), {})
    with sqlite3.connect(path) as db:
        db.execute("UPDATE run SET figures = ?", (f'{{"x": {figure}}}',))
    db.close()
    with Journal(path) as journal, pytest.raises(InputError, match="is damaged"):
        list(journal.outcomes(["k"]))


def test_a_run_whose_figure_is_no_number_is_a_fault(tmp_path: Path) -> None:
    """And not a row that nobody can read."""
    with Journal(tmp_path / "j") as journal:
        journal.write(outcome("k", float("inf")), {})
        (found,) = journal.outcomes(["k"])
        assert found is not None
        assert (found.kind, found.value) == ("fault", None)


def test_every_row_survives_kill_9(tmp_path: Path) -> None:
    """The writer says each row after writing it and is killed at once: all that it said are there."""
    code = (
        "import sys, os; from pathlib import Path\n"
        "from trundle.study.journal import Journal; from trundle.study.pool import Outcome\n"
        "j = Journal(Path(sys.argv[1]))\n"
        "for i in range(10**6):\n"
        "    j.write(Outcome(str(i), 'done', {'x': i}, '', 0.0), {})\n"
        "    os.write(1, b'%d\\n' % i)\n"
    )
    child = subprocess.Popen([sys.executable, "-c", code, str(tmp_path / "j")], stdout=subprocess.PIPE)
    assert child.stdout is not None
    said = b""
    while said.count(b"\n") < 200:
        said += os.read(child.stdout.fileno(), 65536)
    child.send_signal(signal.SIGKILL)
    said += child.stdout.read()
    child.stdout.close()
    child.wait()
    count = said.count(b"\n")
    with Journal(tmp_path / "j") as journal:
        assert all(journal.finished(str(i)) for i in range(count))


@pytest.mark.parametrize("content", [b"not a database, just text\n" * 100, b"SQLite format 3\0" + b"\xff" * 5000])
def test_another_file_is_refused_and_left_alone(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "j"
    path.write_bytes(content)
    with pytest.raises(InputError, match="damaged or is not"):
        Journal(path)
    assert path.read_bytes() == content


def test_a_damaged_journal_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "j"
    with Journal(path) as journal:
        for i in range(2000):
            journal.write(outcome(f"{i:040d}"), {"i": i})
    raw = bytearray(path.read_bytes())
    for start in range(4096 * 3, len(raw) - 4096, 4096):  # the pages behind the first ones
        raw[start : start + 64] = os.urandom(64)
    path.write_bytes(bytes(raw))
    with pytest.raises(InputError, match="damaged"):
        Journal(path)


def test_a_journal_of_another_layout_is_refused(tmp_path: Path) -> None:
    db = sqlite3.connect(tmp_path / "j")
    db.execute("CREATE TABLE run (key)")
    db.execute("PRAGMA user_version = 99")
    db.close()
    with pytest.raises(InputError, match="layout 99"):
        Journal(tmp_path / "j")


def test_two_studies_do_not_share_a_journal(tmp_path: Path) -> None:
    with Journal(tmp_path / "j"), pytest.raises(InputError, match="another study is writing"):
        Journal(tmp_path / "j")


def test_a_full_disk_is_said_and_nothing_is_lost(tmp_path: Path) -> None:
    """SQLite's page limit gives the error that a full disk gives (sqlite.org/pragma: max_page_count)."""
    written, said = 0, ""
    with Journal(tmp_path / "j") as journal:
        journal._db.execute("PRAGMA max_page_count = 20")
        try:
            for written in range(10_000):
                journal.write(outcome(f"k{written}"), {"note": "x" * 200})
        except InputError as e:
            said = str(e)
    assert "no room left" in said
    assert "is kept" in said
    with Journal(tmp_path / "j") as journal:
        assert written > 50
        assert all(journal.finished(f"k{i}") for i in range(written))


def test_a_folder_that_cannot_be_made_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(InputError, match="cannot be made"):
        Journal(tmp_path / "file" / "sub" / "j")
