"""The buying list: what to cut and buy for a vehicle, and what it weighs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from trundle.errors import plain
from trundle.making.buying import KERF_MM, Buying, Fastener, buying
from trundle.making.fits import remarks
from trundle.making.made import bolted
from trundle.making.nesting import Size
from trundle.papers.bolt_list import INCH_MM
from trundle.papers.cut_list import cut_list
from trundle.papers.fit_parts import told
from trundle.papers.parts import CARE, Document, Part, Table, names, number
from trundle.papers.screen import as_text
from trundle.papers.stock_lists import bars, plates
from trundle.papers.weights import weights
from trundle.result.inputs import GivenVehicle, vehicle_input
from trundle.spec.vehicle import Vehicle
from trundle.steel.fasteners import SHIM_RINGS


@dataclass(frozen=True, repr=False)
class BuyingList:
    """What to buy, its figures and the text made from them."""

    figures: Buying
    document: Document

    def __str__(self) -> str:
        """All of it, as `trundle buy` prints it."""
        return as_text(self.document)

    def __repr__(self) -> str:
        f = self.figures
        many = sum(n.count for n in f.fasteners)
        return (
            f"{self.document.title}: {f.steel_kg:.1f} kg of bars and plate, {many} bolts, nuts and washers\n"
            "print() it for all; .figures has the numbers"
        )


def buying_list(
    vehicle: GivenVehicle,
    *,
    kerf_mm: float = KERF_MM,
    stock_mm: Sequence[float] = (),
    sheet_mm: Sequence[Size] = (),
) -> BuyingList:
    """What to cut and buy for a vehicle, and what it weighs; `print` shows it.

    vehicle: a file, the name of a shipped one, or an object. kerf_mm: width of a saw cut. stock_mm: lengths in which
    bars are had, in place of those that merchants sell. sheet_mm: sizes of sheets of plate, likewise.
    Raises InputError for an argument or a file that is wrong, or if a piece does not come out of what is given.
    """
    ours = vehicle_input(vehicle)
    source = str(ours.path) if ours.path is not None else f"{ours.stem}.toml"
    with ours.blamed():
        return whole_list(ours.vehicle, source, kerf_mm, stock_mm, sheet_mm)


def whole_list(
    vehicle: Vehicle,
    source: str,
    kerf_mm: float = KERF_MM,
    stock_mm: Sequence[float] = (),
    sheet_mm: Sequence[Size] = (),
) -> BuyingList:
    """The same of a vehicle that is read. source: its file, named in what to do next. Raises InputError."""
    found = buying(vehicle, kerf_mm, stock_mm, sheet_mm)
    parts = [
        *_faults(vehicle, plain(source)), cut_list(vehicle, kerf_mm), *parts_of_list(vehicle, found),
        _next(plain(source), found), Part("Take care", CARE),
    ]  # fmt: skip
    return BuyingList(found, Document(f"{vehicle.name}: what to buy", vehicle.note.strip(), tuple(parts)))


def _faults(vehicle: Vehicle, source: str) -> list[Part]:
    """What keeps it from being built as the file has it is to be mended before anything is bought."""
    found = remarks(vehicle)
    if not found:
        return []
    more = f", and {len(found) - 1} more" if len(found) > 1 else ""
    loud = f"It cannot be built as the file has it: {told(found[0])}{more} (trundle fits {source})"
    return [Part("Before you buy", loud=(loud,))]


def buying_parts(
    vehicle: Vehicle, *, kerf_mm: float = KERF_MM, stock_mm: Sequence[float] = (), sheet_mm: Sequence[Size] = ()
) -> list[Part]:
    """The buying list's parts, without the cut list: bars, plate, bolts, ready, weights; those that have something.

    Arguments and errors as of `trundle.making.buying.buying`.
    """
    return parts_of_list(vehicle, buying(vehicle, kerf_mm, stock_mm, sheet_mm))


def parts_of_list(vehicle: Vehicle, found: Buying) -> list[Part]:
    """The same of a list that is worked out."""
    parts = [bars(found), plates(found), _fasteners(vehicle, found), _ready(found), weights(vehicle)]
    return [p for p in parts if p is not None]


def _fasteners(vehicle: Vehicle, found: Buying) -> Part | None:
    if not found.fasteners:
        return None
    heads = ("what", "size", "class", "on it", "spare", "buy", "kg")
    rows = tuple(
        (
            _WHAT[f.what], size_words(f), f.grade or "–", str(f.count), str(f.spare), str(f.count + f.spare),
            number(f.count * f.kg_each, 2),
        )
        for f in found.fasteners
    )  # fmt: skip
    told = dict.fromkeys(f"{b.what}s: {line}" for b in bolted(vehicle) for line in b.left_out)
    return Part(
        "Buy: bolts, nuts, washers",
        "Hexagon bolts with a plain shank (ISO 4014), self-locking nuts (ISO 7040), plain washers (ISO 7089), shim "
        "rings (DIN 988), from memory. Spare: one in ten, of self-locking nuts, which hold once, one in five (common "
        "practice).",
        (Table(heads, rows),),
        tuple(told),
    )


_WHAT = {
    "bolt": "hexagon bolt",
    "threaded rod": "threaded rod",
    "nut": "self-locking nut",
    "washer": "plain washer",
    "shim ring": "shim ring",
}


def size_words(f: Fastener) -> str:
    """As it is asked for: "M14 x 150", "UNC 1/2 x 4 in", "M10 x 30 and the hull's plate"."""
    if f.length_mm is None:
        return f.thread
    if f.what == "shim ring":
        inside, outside = SHIM_RINGS[f.thread]
        return f"{inside:g} x {outside:g} x {f.length_mm:g}"
    length = f"{f.length_mm:g}" if f.thread.startswith("M") else f"{f.length_mm / INCH_MM:g} in"
    return f"{f.thread} x {length}" + (f" {f.more}" if f.more else "")


def _ready(found: Buying) -> Part | None:
    if not found.ready:
        return None
    rows = tuple(
        (r.what, str(r.count), r.words, names(r.where), r.kg_words, number(r.count * (r.mass_kg or math.nan), 1))
        for r in found.ready
    )
    return Part(
        "Buy: ready",
        "As the file has them; motor, battery, hull and what holds track ends and springs are not in the file.",
        (Table(("what", "count", "as it is asked for", "for", "kg each", "kg"), rows),),
    )


def _next(source: str, found: Buying) -> Part:
    lines = [
        f"trundle buy {source} --kerf-mm 1.5 --stock-mm 3000   by your saw and your merchant",
        f"trundle buy {source} --csv buy.csv   for a spreadsheet or the merchant (or --xlsx buy.xlsx)",
        f"trundle sheet {source} --templates DIR   templates at 1:1 of what is drilled and bent",
    ]
    if not found.parts:
        lines.append("say how the arms are made ([bogie.NAME.build]) to have a cut list")
    return Part("What next", lines=tuple(lines))
