"""`trundle leaf`: what a builder reads of a press, of a ripped leaf, of a bend test; what is refused."""

from __future__ import annotations

import re
import shlex
import tomllib

import pytest

from trundle.cli.main import main
from trundle.papers.ripped import Cut, ripping
from trundle.spec.shipped import find
from trundle.spec.vehicle import load_vehicle
from trundle.steel.rip import rip

Capture = pytest.CaptureFixture[str]


def said(capsys: Capture, *args: str) -> str:
    """What it prints, on one line each; it exits with 0."""
    with pytest.raises(SystemExit) as stopped:
        main(["leaf", *args])
    out, err = capsys.readouterr()
    assert stopped.value.code == 0, err
    assert err == ""
    return " ".join(out.split())


PLAIN = ("bend", "--width-mm", "32", "--thickness-mm", "8", "--length-mm", "700", "--radius-mm", "900")


def test_a_plain_leaf_by_hand(capsys: Capture) -> None:
    """32 x 8 mm, 1100 MPa, 300 mm: 563.2 N.m and 7.509 kN (plastic hinge); a piece of a quarter more: 704 and 9.39."""
    text = said(capsys, *PLAIN, "--yield-mpa", "1100", "--span-mm", "300")
    assert "563.2 to 704.0" in text
    assert "It gives way at 7.5 kN (0.77 t) to 9.4 kN (0.96 t)" in text
    assert "Bend cold" in text


@pytest.mark.parametrize(
    ("press", "words"),
    [
        (("--press-t", "4"), "The press, 39.2 kN (4.00 t), does it: it takes "),
        (("--press-kn", "3"), "!! the press, 3.0 kN (0.31 t), is too weak: it takes "),
        (("--press-kn", "10", "--span-mm", "300"), "!! the press, 10.0 kN (1.02 t), does it only if the steel is soft"),
        ((), "A press of "),
    ],
)
def test_whether_the_press_does(press: tuple[str, ...], words: str, capsys: Capture) -> None:
    """Yes; no; only for the softer end of the range; none given: which would."""
    text = said(capsys, *PLAIN, "--yield-mpa", "1100", *press)
    assert words in text
    if words.startswith("!!"):
        assert "does it: it takes" not in text


def test_a_weak_press_gets_a_longer_span(capsys: Capture) -> None:
    """Chosen so that the press does it, if any span within the leaf lets it."""

    def span(*more: str) -> int:
        rows = said(capsys, *PLAIN, "--yield-mpa", "1100", *more)
        found = re.search(r"563.2 to 704.0 (\d+)", rows)
        assert found
        return int(found[1])

    assert span("--press-kn", "8") > span("--press-kn", "40") == span()


def test_the_leaves_of_a_vehicle(capsys: Capture) -> None:
    """Each of the stack, alike bogies once; another yield in the file moves the force with it."""
    text = said(capsys, "bend", "teasel", "--press-t", "2")
    assert "Pressed to shape: front, middle and rear" in text
    assert text.count("leaf 9") == 1
    assert "48.0 to 60.0" in text  # 1200 x 40 x 4 / 4
    soft = said(capsys, "bend", "teasel", "--set", "bogie.*.spring.yield_MPa=600", "--bogie", "rear")
    assert "Pressed to shape: rear" in soft
    assert "24.0 to 30.0" in soft


def test_ripped_in_the_middle(capsys: Capture) -> None:
    """83 mm with 2 lost and twice 0.5 ground off are two of 40: as Teasel's leaves are."""
    text = said(capsys, "rip", "teasel", "--wide-mm", "83")
    assert "strips of 40.0 and 40.0 mm" in text
    assert "Both strips are alike: so are both sides." in text
    heights = re.findall(r"(?:narrower|wider|as in the file now) (\d+\.\d) (\d+\.\d) (\d+\.\d)", text)
    assert len(heights) == 3
    assert len(set(heights)) == 1


def test_the_narrower_side_stands_lower() -> None:
    """Rate goes with width (b t3/12), so under the same load d = F (1/k1 - 1/k2), leaned over the gauge.

    Worked out from the middle's rate at the axle and the mean load of a station (both wheels of a pair), track and
    tyres left out: within 15 %. Rates are in proportion to the widths to 1 % (the arms stand a little
    differently), stress at bump is the same."""
    vehicle = load_vehicle(find("vehicles", "teasel"))
    cut = Cut(84.0, 44.0, 2.0, 0.5)
    got = ripping(vehicle, cut)
    assert sorted(got.strips.widths_m) == pytest.approx([0.0385, 0.0425])
    for a, b in zip(got.narrow.springs, got.wide.springs, strict=True):
        assert a.rate_N_per_mm / b.rate_N_per_mm == pytest.approx(38.5 / 42.5, rel=1e-2)
        assert a.state("bump").stress_MPa == pytest.approx(b.state("bump").stress_MPa, rel=1e-6)
        assert a.state("standing").stress_MPa > b.state("standing").stress_MPa
    front, rear = got.lower_mm
    middle = got.now.springs[1]
    load = middle.state("standing").torque_Nm / (0.2 * 0.98)
    k = middle.rate_N_per_mm / 40.0
    assert 0.5 * (front + rear) == pytest.approx(load / (k * 38.5) - load / (k * 42.5), rel=0.15)
    assert vehicle.hull.gauge_mm is not None
    assert got.lean_deg == pytest.approx(57.29578 * 0.5 * (front + rear) / vehicle.hull.gauge_mm, rel=1e-3)
    assert ripping(vehicle, cut, gauge_mm=0.5 * vehicle.hull.gauge_mm).lean_deg == pytest.approx(
        2.0 * got.lean_deg, rel=1e-3
    )
    assert ripping(vehicle, cut, ("rear",)).lower_mm[1] > 0.0


def test_what_to_enter_is_what_was_ripped(capsys: Capture) -> None:
    """The mean of both strips, at the fields of the file; which then stands half-way."""
    text = said(capsys, "rip", "teasel", "--wide-mm", "84", "--cut-at-mm", "44")
    assert "the narrower strip's side stands" not in text.split("!!")[0].split("The narrower")[0]
    found = re.search(r"To write into the file: (\S+) as (bogie\.front\.spring\.width_mm)", text)
    assert found
    assert float(found[1]) == 40.5
    assert load_vehicle(find("vehicles", "teasel"), {found[2]: float(found[1])})
    assert "has lost its temper" in text


def test_ripping_by_numbers(capsys: Capture) -> None:
    """38.5 and 41.5 of 83: 900 N on 40 N/mm x share: 48.51 less 45 mm = 3.51 mm, over 800 mm 0.25 deg."""
    text = said(
        capsys, "rip", "--wide-mm", "83", "--cut-at-mm", "40", "--load-n", "900", "--rate-n-per-mm", "40",
        "--gauge-mm", "800",
    )  # fmt: skip
    assert "Under 900 N each the narrower one is 3.5 mm lower: 0.25 deg over 800 mm." in text
    assert rip(0.083, 0.002, 0.040, 0.0005).rate_shares == pytest.approx((38.5 / 83, 41.5 / 83))


def test_lengths_have_units_too(capsys: Capture) -> None:
    """5/16 in are 7.94 mm, 1 1/4 in 31.75."""
    text = said(
        capsys,
        "bend",
        "--width-mm",
        "1 1/4 in",
        "--thickness-mm",
        "5/16 in",
        "--length-mm",
        "2 ft",
        "--radius-mm",
        "36 in",
    )
    assert "31.75 x 7.9375 unknown scrap" in text


def test_a_test_becomes_lines_of_the_file(capsys: Capture) -> None:
    """What is to be written is read back by the vehicle's file. 60 x 8, 600 mm: stress 1.5 F L/(b t2)."""
    text = said(
        capsys, "test", "--width-mm", "60", "--thickness-mm", "8", "--span-mm", "600",
        "--at", "400:3.4:0", "--at", "800:6.9:0", "--at", "3000:26:0", "--at", "5000:44:1.5",
    )  # fmt: skip
    assert "Modulus 202 (193 to 212) GPa" in text
    assert "It stayed bent after 5000 N" in text
    found = re.search(r"To write in the table of the spring: (yield_MPa = \d+)", text)
    assert found
    fields = tomllib.loads(found[1])
    assert 800 <= fields["yield_MPa"] < 5000 * 600 * 1.5 / (60 * 64)
    front = {f"bogie.front.spring.{k}": v for k, v in fields.items()}
    sprung = load_vehicle(find("vehicles", "teasel"), front).bogie["front"].sprung("front")
    assert sprung is not None
    steel = sprung.spring.made_of().steel
    assert steel is not None
    assert steel.yield_Pa == pytest.approx(fields["yield_MPa"] * 1e6)


def test_a_vehicles_leaf_and_kilograms(capsys: Capture) -> None:
    """Its width and thickness are the file's; 10 kg are 98.07 N: E = F L3/(48 I d), I = 40 x 8/12."""
    text = said(capsys, "test", "teasel", "--span-mm", "400", "--at", "10kg:23:0", "--at", "20 kg:46:0")
    modulus = 98.0665 * 400**3 / (48 * (40 * 8 / 12) * 23) / 1e3
    assert f"Modulus {modulus:.0f} (" in text
    assert "To write in [bogie.front.spring] and [bogie.middle.spring] and [bogie.rear.spring]: yield_MPa = " in text


def test_no_steel_is_so_stiff(capsys: Capture) -> None:
    """The thickness that would do is told, and nothing is written that the file would refuse."""
    text = said(capsys, "test", "teasel", "--span-mm", "400", "--at", "400:23:0")
    assert "!! no steel has a modulus of 870 GPa" in text
    assert f"it would be {2 * (869.57 / 206) ** (1 / 3):.2f} mm thick" in text
    assert "Nothing to write into the file before that is cleared up." in text


@pytest.mark.parametrize(
    ("args", "words"),
    [
        ("bend", "--width-mm, --thickness-mm, --length-mm, --radius-mm: needed, or a VEHICLE"),
        ("bend barrow", "VEHICLE: no leaf of Barrow is bent to shape"),
        ("bend teasel --bogie no", 'no leaf of a bogie "no" is bent to shape'),
        ("bend teasel --width-mm 5", "--width-mm: teasel has its own"),
        ("bend teasel --press-t 1 --press-kn 2", "--press-t: give what the press gives once"),
        ("bend teasel --span-mm 4000", "--span-mm: supports 4000 mm apart, and the main leaf is 440 mm long"),
        ("bend teasel --within-mm 0", "0 is out of range (allowed: 0.05, up to 50)"),
        ("bend teasel --span-mm '20 N'", "a length is wanted"),
        ("bend --width-mm 40 --thickness-mm 3 --length-mm 440 --radius-mm 1", "--radius-mm: a leaf 3 mm thick"),
        ("bend --width-mm 4 --thickness-mm 3 --length-mm 44 --radius-mm 99 --steel 51CrV", 'did you mean "51CrV4"?'),
        ("bend --width-mm nan --thickness-mm 3 --length-mm 440 --radius-mm 700", "--width-mm"),
        ("rip teasel", "Missing option '--wide-mm'"),
        ("rip teasel --wide-mm 84 --cut-at-mm 83", "--cut-at-mm: cutting a 84 mm leaf 83 mm from its edge"),
        ("rip barrow --wide-mm 84", "VEHICLE: no bogie of it has a leaf"),
        ("rip teasel --wide-mm 84 --bogie x", '--bogie: no leaf of a bogie "x" can be ripped'),
        ("rip teasel --wide-mm 20", "the springs cannot carry the hull"),
        ("rip --wide-mm 84 --load-n 3", "--load-n: load and rate go together"),
        ("rip teasel --wide-mm 84 --load-n 3", "--load-n: teasel has its own"),
        ("test --span-mm 400 --at 4:3", "--width-mm: needed, or a VEHICLE"),
        ("test teasel --span-mm 400", "--at: a bend test wants at least one reading"),
        ("test teasel --span-mm 400 --at 400", '--at: "400" is no reading'),
        ("test teasel --span-mm 400 --at 400mm:3", "a force is wanted"),
        ("test teasel --span-mm 400 --at 400:3:4", "--at: what stays, 4 mm, is less than what it gave"),
        ("test teasel --span-mm 400 --at 400:300", "does not give by 300 mm"),
        ("test barrow --span-mm 400 --at 400:3", "VEHICLE: Barrow has no such leaf"),
        ("test nothere --span-mm 400 --at 4:3", "no such vehicle file"),
    ],
)
def test_what_is_refused(args: str, words: str, capsys: Capture) -> None:
    """One line, exit code 2, nothing printed."""
    with pytest.raises(SystemExit) as stopped:
        main(["leaf", *shlex.split(args)])
    out, err = capsys.readouterr()
    assert stopped.value.code == 2
    assert words in err
    assert len(err.strip().splitlines()) == 1
    assert out == ""
