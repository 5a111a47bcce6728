"""`trundle leaf`: bend a leaf in a press, rip a wide one, test what steel it is of."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, cast

import click

from trundle.cli.inputs import set_option
from trundle.cli.leaf_inputs import bent, file, only_without, plain_leaf, reading, section
from trundle.cli.numbers import Number
from trundle.errors import InputError, Problem

if TYPE_CHECKING:
    from trundle.papers.parts import Part
    from trundle.steel.bend_test import Held

TONNE_N = 9806.65
"""A press of one tonne [N]."""

LONGEST_MM = 5_000.0
"""Length of anything in a workshop [mm]."""

Command = Callable[..., None]


def _length(name: str, text: str, most: float = LONGEST_MM, **more: Any) -> Callable[[Command], Command]:
    """An option in mm, or with its unit; above 0."""
    return click.option(name, type=Number("it_mm", most), metavar="MM", help=text, **more)


def _from_nought(
    name: str, text: str, default: float, most: float, field: str = "it_mm", metavar: str = "MM"
) -> Callable[[Command], Command]:
    """An option that may be 0, and is something where it is not given."""
    return click.option(
        name, type=Number(field, most, from_least=True), metavar=metavar, help=text, default=default, show_default=True
    )


_bogie = click.option("bogies", "--bogie", multiple=True, metavar="NAME", help="Only of this bogie. Repeatable.")


@click.group("leaf")
def leaf() -> None:
    """What to do to a leaf in the workshop: of VEHICLE's file, or by plain numbers.

    \b
    trundle leaf bend teasel --press-t 2      will the press in the shed do
    trundle leaf rip teasel --wide-mm 90      two strips of one leaf, one for each side
    trundle leaf test --width-mm 60 --thickness-mm 8 --span-mm 600 --at 400:3.4:0 --at 800:6.9:0
    """


@leaf.command("bend", short_help="Former, supports, presses, stroke, force; will the press do.")
@click.argument("vehicle", metavar="[VEHICLE]", required=False)
@set_option
@_bogie
@_length("--width-mm", "Without VEHICLE: width of the leaf.")
@_length("--thickness-mm", "Its thickness.")
@_length("--length-mm", "Its length along the curve.")
@_length("--radius-mm", "The radius it is to have, at the middle of its thickness.", 100_000.0)
@click.option("--steel", metavar="NAME", help="What it is of [unknown scrap].")
@click.option("--yield-mpa", type=Number("it_MPa", 3_000.0), metavar="MPA", help="Its yield, if it was tested.")
@click.option("--press-kn", type=Number("kilonewtons", 1e4), metavar="KN", help="What the press gives.")
@click.option("--press-t", type=Number("tonnes", 1e3), metavar="T", help="The same in tonnes.")
@_length("--span-mm", "Between the supports [chosen].")
@_length("--nose-mm", "Radius of what presses [a former made for the leaf].")
@click.option(
    "--within-mm",
    type=Number("it_mm", 50.0, 0.05, True),
    default=1.0,
    show_default=True,
    metavar="MM",
    help="How near to the curve it has to stay between presses.",
)
def bend(
    vehicle: str | None,
    settings: tuple[str, ...],
    bogies: tuple[str, ...],
    width_mm: float | None,
    thickness_mm: float | None,
    length_mm: float | None,
    radius_mm: float | None,
    steel: str | None,
    yield_mpa: float | None,
    press_kn: float | None,
    press_t: float | None,
    span_mm: float | None,
    nose_mm: float | None,
    within_mm: float,
) -> None:
    """Former, supports, presses, stroke and force for each leaf, one by one; whether the press does it.

    Elastic, then fully plastic: force 4 M / span, M = yield x width x thickness squared / 4. Of a steel that nobody
    tested, from the softest to the hardest that it may be.
    """
    from trundle.papers.press_parts import press_part, to_press
    from trundle.steel.press_plan import Shop
    from trundle.units import MM

    if press_kn is not None and press_t is not None:
        raise InputError(Problem("give what the press gives once", "--press-t", "one of --press-kn, --press-t"))
    press_N = press_kn * 1e3 if press_kn is not None else press_t * TONNE_N if press_t is not None else float("inf")
    shop = Shop(
        press_N, None if span_mm is None else span_mm * MM, None if nose_mm is None else nose_mm * MM, within_mm * MM
    )
    plain = {
        "--width-mm": width_mm, "--thickness-mm": thickness_mm, "--length-mm": length_mm, "--radius-mm": radius_mm,
    }  # fmt: skip
    if vehicle is None:
        one = plain_leaf(plain, steel, yield_mpa)
        _print("Bending a leaf", [press_part("Pressed to shape", (one,), shop)])
        return
    only_without(vehicle, {**plain, "--steel": steel, "--yield-mpa": yield_mpa})
    given = file(vehicle, settings)
    parts = []
    for shop_, who in bent(given, bogies):
        parts.append(press_part(f"Pressed to shape: {who}", to_press(shop_), shop))
    _print(f"{given.vehicle.name}: bending its leaves", parts)


@leaf.command("rip", short_help="Two strips of one wide leaf: both sides, lean of the hull.")
@click.argument("vehicle", metavar="[VEHICLE]", required=False)
@set_option
@_bogie
@_length("--wide-mm", "Width of the leaf that is ripped.", required=True)
@_length("--cut-at-mm", "Middle of the cut, from one edge [half].")
@_from_nought("--kerf-mm", "What the disc takes away.", 2.0, 20.0)
@_from_nought("--ground-mm", "What is ground off each cut edge.", 0.5, 20.0)
@_length("--gauge-mm", "Between the middles of the tracks [hull.gauge_mm].")
@click.option("--load-n", type=Number("it_N", 1e6), metavar="N", help="Without VEHICLE: load on either strip.")
@click.option(
    "--rate-n-per-mm",
    type=Number("it_N_per_mm", 1e6),
    metavar="RATE",
    help="N/mm of the whole leaf where that load is.",
)
def ripped(
    vehicle: str | None,
    settings: tuple[str, ...],
    bogies: tuple[str, ...],
    wide_mm: float,
    cut_at_mm: float | None,
    kerf_mm: float,
    ground_mm: float,
    gauge_mm: float | None,
    load_n: float | None,
    rate_n_per_mm: float | None,
) -> None:
    """Two strips of one wide leaf, one for each side of VEHICLE: rate, stress and height of either, lean of the hull.

    VEHICLE is stood on the narrower and on the wider strip, its leaves in everything else as its file has them.
    """
    from trundle.papers.ripped import Cut, plain_ripping_part, ripping, ripping_part

    cut = Cut(wide_mm, cut_at_mm, kerf_mm, ground_mm)
    if vehicle is None:
        if (load_n is None) != (rate_n_per_mm is None):
            raise InputError(Problem("load and rate go together", "--load-n", "both of --load-n, --rate-n-per-mm"))
        _print("Ripping a leaf", [plain_ripping_part(cut, load_n, rate_n_per_mm, gauge_mm)])
        return
    only_without(vehicle, {"--load-n": load_n, "--rate-n-per-mm": rate_n_per_mm})
    given = file(vehicle, settings)
    with given.blamed():
        found = ripping(given.vehicle, cut, bogies, gauge_mm)
    _print(f"{given.vehicle.name}: its leaves ripped from wider ones", [ripping_part(found, cut)])


@leaf.command("test", short_help="What steel it is of: modulus, safe stress.")
@click.argument("vehicle", metavar="[VEHICLE]", required=False)
@set_option
@_bogie
@click.option(
    "readings",
    "--at",
    multiple=True,
    metavar="LOAD:MM[:LEFT]",
    help="Load in N (or 40kg, 90lbf), how far it gave, what stayed when it was taken off. Repeatable.",
)
@_length("--width-mm", "Width of the leaf [the file's].")
@_length("--thickness-mm", "Its thickness [the file's].")
@_length("--span-mm", "Between the supports, or from the clamp's edge to the load.", required=True)
@click.option(
    "--held",
    type=click.Choice(["two supports", "one end"]),
    default="two supports",
    show_default=True,
    help="How it lies: loaded in the middle, or clamped at one end and loaded at the other.",
)
@_length("--read-mm", "How exactly deflections are read.", 50.0, default=0.5, show_default=True)
@_from_nought("--load-percent", "How exact the loads are.", 2.0, 50.0, "percent", "P")
@_from_nought("--thickness-to-mm", "How exactly the thickness is known.", 0.05, 5.0)
def tested(
    vehicle: str | None,
    settings: tuple[str, ...],
    bogies: tuple[str, ...],
    readings: tuple[str, ...],
    width_mm: float | None,
    thickness_mm: float | None,
    span_mm: float,
    held: str,
    read_mm: float,
    load_percent: float,
    thickness_to_mm: float,
) -> None:
    """What steel a leaf is of: its modulus, and up to which stress it comes back, with how sure that is.

    Lay it on two supports, load it in the middle (bags, a luggage scale, a press with a gauge), write down load and
    deflection, take the load off and write down what stays. Further each time. Nothing may fly: clamp it, stand aside.
    """
    from trundle.papers.bend_test_part import bend_test_part
    from trundle.steel.bend_test import Errors, Piece, bend_test
    from trundle.units import MM

    headers: tuple[str, ...] = ()
    if vehicle is not None:
        width_mm, thickness_mm, headers = section(file(vehicle, settings), bogies, width_mm, thickness_mm)
    for name, value in (("--width-mm", width_mm), ("--thickness-mm", thickness_mm)):
        if value is None:
            raise InputError(Problem("needed, or a VEHICLE whose leaf it is", name))
    assert width_mm is not None
    assert thickness_mm is not None
    # What the option's choice lets through.
    piece = Piece(width_mm * MM, thickness_mm * MM, span_mm * MM, cast("Held", held))
    read = [reading(r) for r in readings]
    errors = Errors(read_mm * MM, load_percent / 100.0, thickness_to_mm * MM)
    _print("Bend test of a leaf", [bend_test_part(piece, read, errors, bend_test(piece, read, errors), headers)])


def _print(title: str, parts: list[Part]) -> None:
    from trundle.papers.parts import Document
    from trundle.papers.screen import print_document

    print_document(Document(title, "", tuple(parts)))
