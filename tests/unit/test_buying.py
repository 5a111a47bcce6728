"""The buying list: everything on it as often as the vehicle has it, lists as files, bad input by the command."""

from __future__ import annotations

import csv
from collections import Counter
from pathlib import Path

import pytest
from hand_parts import by_hand
from openpyxl import load_workbook
from sheet_parts import built, teasel_data

import trundle
from trundle.cli.main import main
from trundle.errors import InputError
from trundle.making.bolted import Layer
from trundle.making.buying import buying
from trundle.making.made import bolted, made
from trundle.making.marks import marks
from trundle.making.sold import bought_as, made_from, tube_for
from trundle.making.spacers import Pile, pile
from trundle.papers.bolt_list import bolt_list
from trundle.papers.buying import buying_parts, size_words
from trundle.papers.buying_table import COLUMNS, rows, write_csv, write_xlsx
from trundle.papers.cut_list import cut_list
from trundle.result.inputs import vehicle_input
from trundle.spec.shipped import names
from trundle.spec.vehicle import Vehicle, vehicle_from

SHIPPED = names("vehicles")


def shipped(name: str) -> Vehicle:
    return vehicle_input(name).vehicle


@pytest.mark.parametrize("name", SHIPPED)
def test_all_that_is_made_comes_out_of_what_is_bought(name: str) -> None:
    """Pieces sawn and plates cut are those of the cut list, in number and in stock."""
    vehicle = shipped(name)
    found = buying(vehicle)
    wanted = Counter({p.mark: p.count for p in made(vehicle)})
    by_stock = Counter({o.stock: sum(p.count for p in o.parts) for o in (*found.bars, *found.plates)})
    assert by_stock.total() == wanted.total()
    for order in found.bars:
        assert sum(b.count * b.many for b in order.packed.bars) == by_stock[order.stock]
        assert all(bought_as(p) == order.stock for p in order.parts)
    for plates in found.plates:
        cut = Counter(put.mark for sheet in plates.sheets for put in sheet.put)
        assert cut == {p.mark: wanted[p.mark] for p in plates.parts}
    pieces_kg = sum(p.count * p.stock.kg_per_m * p.length_mm * 1e-3 for o in found.bars for p in o.parts)
    assert sum(o.kg for o in found.bars) > pieces_kg > 0.0


@pytest.mark.parametrize("name", SHIPPED)
def test_a_nut_for_every_bolt_and_washers_as_the_stacks_have(name: str) -> None:
    """Counted off the stacks; spares beside them."""
    vehicle = shipped(name)
    count: Counter[tuple[str, str]] = Counter()
    for f in buying(vehicle).fasteners:
        count["bolt" if f.what == "threaded rod" else f.what, f.thread] += f.count
        assert f.spare >= 1
    for thread in {t for _, t in count}:
        own = [b for b in bolted(vehicle) if b.thread == thread]
        assert count["bolt", thread] == count["nut", thread] == sum(b.count for b in own)
        assert count["washer", thread] >= 2 * count["bolt", thread]


def test_a_vehicle_by_hand() -> None:
    """Three bogies a side of two arms: 12 arms, 12 axle bolts M14 x 150, 24 hull bolts, 24 wheels; two tracks. 12 arms
    of 196 with 11 cuts of 2 mm are 2374: one bar of 3 m, 3000 - 12 x 198 left beyond a twelfth cut. Beside each axle's
    sleeve a shim ring of 2 mm."""
    found = buying(by_hand())
    [tube] = [o for o in found.bars if o.stock.form == "square tube"]
    [bar] = tube.packed.bars
    assert (bar.sold_mm, bar.count, bar.many) == (3000.0, 1, 12)
    assert bar.left_mm == pytest.approx(3000.0 - 12 * 198.0)
    sizes = {size_words(f): (f.what, f.grade, f.count) for f in found.fasteners if f.length_mm is not None}
    assert sizes["M14 x 150"] == ("bolt", "8.8", 12)
    assert sizes["M10 x 30 and the hull's plate"] == ("bolt", "to suit", 24)
    assert sizes["14 x 20 x 2"] == ("shim ring", "", 24)
    others = {(f.what, f.thread): (f.grade, f.count) for f in found.fasteners if f.length_mm is None}
    assert others["nut", "M14"] == ("8", 12)
    assert others["washer", "M14"] == ("", 24)
    ready = {r.what: r.count for r in found.ready}
    assert (ready["road wheel"], ready["track"], ready["sprocket"], ready["return roller"]) == (24, 2, 2, 4)
    assert (ready["damper"], ready["stop's pad"], ready["adjusting screw"]) == (8, 24, 6)  # the middle has no damper


def test_a_wider_cut_needs_another_bar() -> None:
    """12 x 196 and 11 cuts: 2374 with 2 mm, 2407 with 5: more than 2.4 m. From two bars of 1.2 m, 6 each, they go with
    one cut less: 1201 each is too much, 1197 with 4.2 mm is not."""
    vehicle = by_hand()

    def bars(kerf: float, sold: float) -> list[tuple[int, int]]:
        [tube] = [o for o in buying(vehicle, kerf, [sold]).bars if o.stock.form == "square tube"]
        return [(b.count, b.many) for b in tube.packed.bars]

    assert bars(2.0, 2400.0) == [(1, 12)]
    assert sum(n for n, _ in bars(5.0, 2400.0)) == 2
    assert bars(4.2, 1200.0) == [(2, 6)]
    assert sum(n for n, _ in bars(5.0, 1200.0)) == 3


def test_a_sleeve_is_bored_from_bar_where_no_tube_is_sold() -> None:
    """Of EN 10305-1 (from memory) there is tube of 25 x 4 and 28 x 4, none of 24: 28 x 3.85 is bored out of the tube,
    24 x 3.85 out of bar; a 23 mm sleeve comes off 24 mm bar."""
    assert tube_for(25.0, 4.0) == (25.0, 4.0)
    assert tube_for(28.0, 3.85) == (28.0, 4.0)
    assert tube_for(28.0, 9.0) is None
    assert tube_for(24.0, 3.85) is None

    def sleeve(**settings: float) -> str:
        vehicle = by_hand(**{f"bogie__*__build__pivot__{k}": v for k, v in settings.items()})
        return next(made_from(p) for p in made(vehicle) if p.what == "pivot sleeve")

    assert sleeve() == "round bar 24, bored 16.3"
    assert sleeve(sleeve_outside_mm=23.0) == "round bar 24, turned to 23, bored 16.3"
    assert sleeve(sleeve_outside_mm=25.0, sleeve_bore_mm=17.0) == "round tube 25 x 4"
    assert sleeve(sleeve_outside_mm=25.0, sleeve_bore_mm=16.5) == "round tube 25 x 5, bored 16.5"


def test_washers_or_a_ring() -> None:
    """M12 washers are 2.5 mm (ISO 7089), shim rings 0.1 to 3 mm (DIN 988, both from memory): 5 mm are two washers, 4 mm
    a washer and a ring of 1.5; 2.25 mm and ten washers' height have to be turned."""

    def found(thick: float, thread: str = "M12") -> Pile | None:
        return pile(thread, Layer("washer", thick))

    assert found(5.0) == Pile(2)
    assert found(2.45) == Pile(1)
    assert found(4.0) == Pile(1, 1.5)
    assert found(1.0) == Pile(0, 1.0)
    assert found(2.25) is None
    assert found(25.0) is None
    assert found(1.0, "UNC 1/2") is None
    assert found(0.1 + 0.2) == Pile(0, 0.3)
    vehicle = by_hand(**{"bogie__*__build__axle__wheels_apart_mm": 44.5})
    [ring] = [p for p in made(vehicle) if p.what == "spacer"]
    assert (ring.length_mm, ring.count, ring.bore_mm) == (2.25, 24, 15.0)
    assert ring.mark in str(cut_list(vehicle).tables[0].rows)
    assert f"spacer {ring.mark} 2.25" in str(bolt_list(vehicle))


def test_a_bolt_longer_than_is_sold_is_rod() -> None:
    """A pivot sleeve of half a metre."""
    vehicle = by_hand(**{"bogie__*__build__pivot__sleeve_mm": 199.0, "bogie__*__build__bracket__plate_mm": 160.0})
    assert "threaded rod" in {f.what for f in buying(vehicle).fasteners if f.thread == "M16"}


def test_a_piece_longer_than_is_sold_is_told() -> None:
    """A torsion bar of 1.9 m and two grips of two diameters comes three times out of 6 m; a bracket of 2.6 m out of no
    usual sheet."""
    data = teasel_data()
    for bogie in data["bogie"].values():
        bogie["spring"] = {
            "kind": "torsion bar", "diameter_mm": 14, "length_mm": 1900, "free_angle_deg": 40, "steel": "51CrV4",
        }  # fmt: skip
    vehicle = vehicle_from(data)
    [bar] = [p for p in made(vehicle) if p.what == "torsion bar"]
    assert bar.length_mm == 1956.0
    [order] = [o for o in buying(vehicle).bars if o.stock.steel == "51CrV4"]
    assert not order.to_length
    assert [(b.sold_mm, b.count, b.many) for b in order.packed.bars] == [(6000.0, 4, 3)]
    long = buying(built(**{"bogie__*__build__bracket__length_mm": 2600.0}))
    assert long.plates[0].to_size
    told = [
        p for p in buying_parts(built(**{"bogie__*__build__bracket__length_mm": 2600.0})) if p.title == "Buy: plate"
    ]
    assert "larger than sheets" in told[0].lines[0]


@pytest.mark.parametrize("name", SHIPPED)
def test_csv_says_the_same_when_read_back(name: str, tmp_path: Path) -> None:
    """Every row, in order, numbers to a thousandth; totals are those of the figures."""
    found = buying(shipped(name))
    with write_csv(found, tmp_path / "buy.csv").open(newline="", encoding="utf-8") as file:
        back = list(csv.DictReader(file))
    assert tuple(back[0]) == COLUMNS
    there = list(rows(found))
    assert len(back) == len(there)
    for b, r in zip(back, there, strict=True):
        assert (b["list"], b["mark"], int(b["count"]), int(b["spare"])) == (r.list, r.mark, r.count, r.spare)
        for column in ("length_mm", "height_mm", "kg_each", "kg"):
            value = getattr(r, column)
            assert (b[column] == "") == (value is None)
            if value is not None:
                assert float(b[column]) == pytest.approx(value, abs=6e-5)
    cut = [b for b in back if b["list"] == "cut"]
    assert sum(int(b["count"]) for b in cut) == sum(p.count for p in made(shipped(name)))
    bought = sum(float(b["kg"]) for b in back if b["list"] in ("bar", "plate"))
    assert bought == pytest.approx(found.steel_kg, abs=1e-3)


def test_a_spreadsheet_has_a_sheet_for_each_list(tmp_path: Path) -> None:
    """Its rows are those of the CSV."""
    found = buying(shipped("otter"))
    book = load_workbook(write_xlsx(found, tmp_path / "buy.xlsx"), read_only=True)
    assert book.sheetnames == ["cut list", "bars", "plate", "bolts", "ready"]
    assert sum(len(list(sheet.rows)) - 1 for sheet in book.worksheets) == len(list(rows(found)))
    book.close()


def test_a_vehicle_of_which_nothing_is_said(tmp_path: Path) -> None:
    """No build table: wheels and track are bought, the cut list says which tables would add the rest."""
    data = teasel_data()
    for bogie in data["bogie"].values():
        del bogie["build"]
        bogie["spring"] = {"kind": "axle rate", "rate_N_per_mm": 7.0, "free_angle_deg": 32.0}
    found = trundle.buying_list(vehicle_from(data))
    assert found.figures.bars == ()
    assert "[bogie.*.build]" in str(found)
    assert "road wheel" in str(found)
    assert load_workbook(write_xlsx(found.figures, tmp_path / "a.xlsx")).sheetnames == ["ready"]


def test_an_arm_of_tube_that_nobody_sells_stays_tube() -> None:
    """Only sleeves and rings are bored from bar."""
    own = {"kind": "round", "side_mm": 41.0, "thickness_mm": 3.3, "pivot_from_end_mm": 22.0, "axle_to_end_mm": 24.0}
    vehicle = by_hand(**{"bogie__*__build__arm": own})
    arm = next(p for p in made(vehicle) if p.what == "arm")
    assert made_from(arm) == "round tube 41 x 3.3"


def test_faults_come_before_the_list() -> None:
    """A sleeve too fat for its hole is told first, and where the others are; a sound vehicle has none."""
    spoiled = trundle.buying_list(by_hand(**{"bogie__*__build__arm__pivot_hole_mm": 20.0}))
    first = spoiled.document.parts[0]
    assert first.title == "Before you buy"
    assert "trundle fits" in first.loud[0]
    assert trundle.buying_list("teasel").document.parts[0].title == "Cut list"


def test_marks_in_few_words() -> None:
    """Three and more in a row as a range."""
    assert marks(["A1"]) == "A1"
    assert marks(["A1", "A2"]) == "A1 and A2"
    assert marks(["L1", "L2", "L3", "L4"]) == "L1 to L4"
    assert marks(["L1", "L2", "L3", "L5", "S1"]) == "L1 to L3, L5 and S1"


def call(*args: str) -> int:
    with pytest.raises(SystemExit) as left:
        main(list(args))
    assert isinstance(left.value.code, int)
    return left.value.code


def test_the_command_prints_and_writes(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Every list, and the file."""
    out = tmp_path / "buy.csv"
    assert call("buy", "barrow", "--csv", str(out), "--kerf-mm", "1.5") == 0
    told = capsys.readouterr().out
    for title in ("Cut list", "Buy: bars", "Buy: plate", "Buy: bolts", "Buy: ready", "What it weighs", "What next"):
        assert title in told
    assert "1.5 mm" in told
    assert out.exists()


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (("--kerf-mm", "-1"), "--kerf-mm: -1 mm is no width of a saw cut"),
        (("--kerf-mm", "nan"), "--kerf-mm: nan mm is no width of a saw cut"),
        (("--stock-mm", "100"), "--stock-mm: A1 is "),
        (("--stock-mm", "0"), "--stock-mm: 0 mm is no size of stock"),
        (("--stock-mm", "1e9"), "--stock-mm: 1e+09 mm is no size of stock"),
        (("--sheet-mm", "20x900"), "--sheet-mm: P1 is "),
        (("--sheet-mm", "80by90"), '--sheet-mm: "80by90" is no size of a sheet'),
        (("--sheet-mm", "-80x900"), "--sheet-mm: -80 mm is no size of stock"),
    ],
)
def test_bad_input_is_one_message(capsys: pytest.CaptureFixture[str], args: tuple[str, ...], words: str) -> None:
    """Code 2, one line with what is allowed, nothing printed."""
    assert call("buy", "barrow", *args) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.startswith(words)
    assert "(allowed: " in told.err
    assert told.err.count("\n") == 1


def test_a_file_that_cannot_be_written(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """A folder in its place, and the vehicle's own file: code 2, nothing printed, nothing changed."""
    assert call("buy", "barrow", "--csv", str(tmp_path)) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert "--csv: is a folder" in told.err
    own = tmp_path / "own.toml"
    assert call("new", "Own", "--like", "barrow", "--out", str(own)) == 0
    text = own.read_text()
    capsys.readouterr()
    assert call("buy", str(own), "--xlsx", str(own)) == 2
    assert "is the vehicle's own file" in capsys.readouterr().err
    assert own.read_text() == text


def test_names_that_a_spreadsheet_would_compute(tmp_path: Path) -> None:
    """A bogie called so that a cell of it begins with "=" is kept as words."""
    with pytest.raises(InputError):
        built(**{"bogie__front__wheel": "=1+1"})
    with write_csv(buying(by_hand()), tmp_path / "a.csv").open(newline="", encoding="utf-8") as file:
        assert not [c for line in csv.reader(file) for c in line if c.startswith(("=", "+", "@"))]
