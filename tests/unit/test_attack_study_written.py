"""What a study writes (tables, report, JUnit XML) with names and values made to harm: valid, escaped, in its place."""

from __future__ import annotations

import sys
import xml.etree.ElementTree as ET
from html.parser import HTMLParser
from pathlib import Path

import pandas as pd
import pytest

from trundle.errors import InputError
from trundle.study.baseline import Check
from trundle.study.case import Case
from trundle.study.files import write_csv, write_parquet, write_text
from trundle.study.junit import junit_xml
from trundle.study.report import write_comparison

MARKUP = "<script>alert(1)</script>\"'&]]>{{7*7}}{% raw %}"


def hostile_check() -> Check:
    runs = pd.DataFrame([{"vehicle": MARKUP, "course": "a\x01\ufffe", "loss": True, "reason": MARKUP + "\x00\x1b"}])
    return Check("..\x02/" + MARKUP, pd.DataFrame(), runs, [MARKUP, "\udc80"])


def test_junit_stays_well_formed_whatever_the_names(tmp_path: Path) -> None:
    """Markup comes back as text from a parser (xml.etree); characters that XML does not know are left out."""
    write_text(tmp_path / "j.xml", junit_xml(hostile_check()))
    root = ET.parse(tmp_path / "j.xml").getroot()
    assert [e.tag for e in root.iter()] == ["testsuites", "testsuite", "testcase", "failure", "system-out"]
    case = root.find("testsuite/testcase")
    assert case is not None
    assert (case.get("classname") or "").endswith(MARKUP)
    failure = case.find("failure")
    assert failure is not None
    assert failure.get("message") == MARKUP


class Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.seen: set[str] = set()
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.add(tag)
        assert not [name for name, _ in attrs if name.startswith("on")]

    def handle_data(self, data: str) -> None:
        self.text += data


def hostile_table() -> pd.DataFrame:
    values = [MARKUP, 3, 10**30, "fred"]
    return pd.DataFrame(
        {
            "variant": [1, 2, 3, 4],
            "vehicle": [MARKUP, "b", "c", "../../d"],
            "course": ["yard", MARKUP, "yard", ".."],
            f"bogie.{MARKUP}.x": values,
            "state": ["done", "refused", "done", "killed"],
            "reason": ["", MARKUP, "", "\x00"],
            "completed": [True, None, True, None],
            "peak_wheel_load_N": [1.0, None, 2.0, None],
            "seat_rms_m_s2": [2.0, None, 1.0, None],
        }
    )


def test_the_report_of_a_study_escapes_markup(tmp_path: Path) -> None:
    """Names of files, fields, courses and reasons; the parser finds no tag that the clean page has not."""
    clean = hostile_table().replace({MARKUP: "plain"}).rename(columns={f"bogie.{MARKUP}.x": "bogie.a.x"})
    tags = []
    for name, table, title in (("a", clean, "t"), ("b", hostile_table(), MARKUP)):
        write_comparison(tmp_path / name, title, table, note=title)
        page = Tags()
        page.feed((tmp_path / name).read_text(encoding="utf-8"))
        tags.append(page.seen)
    assert tags[1] <= tags[0]
    assert "script" not in tags[1]
    assert MARKUP in page.text
    assert "49" not in page.text.split("bogie")[0][:200]  # {{7*7}} is text, no template


def test_tables_of_mixed_and_odd_values_are_written_and_read_back(tmp_path: Path) -> None:
    """A field varied over `3,fred` gives text and numbers in one column, which Parquet does not hold."""
    write_parquet(hostile_table(), tmp_path / "t.parquet")
    write_csv(hostile_table(), tmp_path / "t.csv")
    back = pd.read_parquet(tmp_path / "t.parquet")
    assert list(back[f"bogie.{MARKUP}.x"]) == [MARKUP, "3", str(10**30), "fred"]
    assert list(back["peak_wheel_load_N"].dropna()) == [1.0, 2.0]
    assert len(pd.read_csv(tmp_path / "t.csv")) == 4
    assert sorted(p.name for p in tmp_path.iterdir()) == ["t.csv", "t.parquet"]


def test_a_vehicle_file_whose_name_is_no_text(tmp_path: Path) -> None:
    """A byte that is no UTF-8 shows as \\udce9 in the table. The folder may have such a name too, where the disk
    takes it (Linux's do): elsewhere that is said."""
    odd = "caf\udce9"  # as Python has b"caf\xe9"
    frame = pd.DataFrame([Case(1, Path(f"{odd}.toml"), Path("kerb.toml")).columns()])
    write_parquet(frame, tmp_path / "t.parquet")
    assert pd.read_parquet(tmp_path / "t.parquet")["vehicle"].tolist() == ["caf\\udce9"]
    try:
        write_parquet(frame, tmp_path / odd / "t.parquet")
    except InputError:
        if sys.platform == "linux":
            raise
    else:
        assert (tmp_path / odd / "t.parquet").read_bytes() == (tmp_path / "t.parquet").read_bytes()


@pytest.mark.parametrize("name", ["x" * 300, "a\0b"])
def test_what_cannot_be_written_is_said(tmp_path: Path, name: str) -> None:
    with pytest.raises(InputError, match="cannot be written"):
        write_text(tmp_path / name, "text")
    assert list(tmp_path.iterdir()) == []


# Windows lets only administrators make links, so there is nothing there to replace or follow.
@pytest.mark.skipif(sys.platform == "win32", reason="links need rights there")
def test_a_link_in_the_place_of_a_result_is_replaced_not_followed(tmp_path: Path) -> None:
    """What the link points at is somebody else's file."""
    other = tmp_path / "other"
    other.write_text("mine")
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "runs.csv").symlink_to(other)
    write_csv(hostile_table(), tmp_path / "out" / "runs.csv")
    assert other.read_text() == "mine"
    assert not (tmp_path / "out" / "runs.csv").is_symlink()
    (tmp_path / "out" / "report.html").symlink_to(other)
    write_text(tmp_path / "out" / "report.html", "page")
    assert other.read_text() == "mine"
    (tmp_path / "out" / "runs.parquet").symlink_to("/dev/null")
    write_text(tmp_path / "out" / "runs.parquet", "table")
    assert (tmp_path / "out" / "runs.parquet").read_text() == "table"
    assert Path("/dev/null").is_char_device()
