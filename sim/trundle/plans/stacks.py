"""What goes on each bolt, cut along it: every washer, gap, sleeve, hub and plate with its thickness, and their list."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from trundle.fields.sketch import Span
from trundle.making.bolted import Bolted, Layer
from trundle.making.part import Made
from trundle.making.spacers import packing, pile, turned
from trundle.plans.bolts import bolt
from trundle.plans.ink import Broken, Cut, Ink, Path, rectangle
from trundle.plans.notes import listed, with_notes
from trundle.plans.page import Page
from trundle.plans.placing import in_rows, must_fit
from trundle.plans.subject import Subject
from trundle.plans.view import Balloon, Chain, Dim, Link, View
from trundle.plans.words import mm
from trundle.steel.fasteners import FASTENERS, SHIM_RINGS

BROKEN_TIMES = 1.35
"""What reaches far beyond the washers is broken off at so many times their radius: wheels, plates."""

LEANS = {"washer": 135.0, "plate": 45.0, "fork plate": 45.0, "sleeve": 135.0, "arm": 45.0, "hub": 45.0, "spacer": 45.0}
LETTERS = {"axle bolt": "AX", "pivot bolt": "PV", "hull bolt": "HB"}
HEADS = ("item", "what", "thick", "outside", "bore", "a stack", "vehicle", "drawing")


@dataclass(frozen=True)
class Item:
    """A row of the list."""

    what: str
    thick_mm: float | None
    outside_mm: float | None
    inside_mm: float | None
    a_stack: int
    mark: str = ""


def pages(subject: Subject) -> Iterator[Page]:
    """One sheet for each bolt with what is on it."""
    numbers: dict[str, int] = {}
    for of in subject.bolted:
        letters = LETTERS[of.what]
        numbers[letters] = numbers.get(letters, 0) + 1
        yield _page(subject, of, f"{letters}{numbers[letters]}")


def _page(subject: Subject, of: Bolted, mark: str) -> Page:
    paper = subject.paper.turned(False)
    items, which = _items(subject, of)
    words, free = with_notes(paper, _notes(of))
    rows = [
        (
            str(k), item.what, _or_blank(item.thick_mm), _or_blank(item.outside_mm, "Ø"),
            _or_blank(item.inside_mm, "Ø"), str(item.a_stack), str(item.a_stack * of.count), item.mark,
        )
        for k, item in enumerate(items, 1)
    ]  # fmt: skip
    table, free = listed(HEADS, rows, free)
    placed = must_fit(in_rows([[_along(subject, of, mark, which)]], free), f"{mark}, {of.what}", paper)
    return Page(
        mark, of.what, paper, placed.words, (*placed.marks, *words, *table),
        f"{of.thread} x {mm(of.length_mm)}, class {of.grade}", of.count,
    )  # fmt: skip


def _or_blank(value: float | None, sign: str = "") -> str:
    return "" if value is None else f"{sign}{mm(value)}"


def _notes(of: Bolted) -> list[str]:
    low, high = of.bent_mm
    threads = "" if of.shank_mm >= high - 1e-6 else ": threads lie there"
    found = [
        f"For {', '.join(of.bogies)}: [{of.path}].",
        f"Grip {mm(of.grip_mm)}; plain shank {mm(of.shank_mm)} under the head, bent or sheared from {mm(low)} to "
        f"{mm(high)}{threads}. Key {mm(FASTENERS[of.thread].across_mm)}.",
        "Bolt, nut and washers as sold; wheels with their own bearings.",
    ]
    return found + [f"Left out: {words}." for words in of.left_out]


def _items(subject: Subject, of: Bolted) -> tuple[list[Item], list[int | None]]:
    """The list: bolt, then layers from under the head, alike ones once, nut. And which of them each layer is."""
    f = FASTENERS[of.thread]
    bar = "bolt" if of.sold else "threaded rod, nut for a head"
    items = [Item(f"{of.thread} {bar}, {mm(of.length_mm)} under the head, {of.grade}", None, of.diameter_mm, None, 1)]
    which: list[int | None] = []
    alike: dict[Layer, int] = {}
    for layer in of.layers:
        if layer.what == "play":
            which.append(None)
            continue
        if layer not in alike:
            alike[layer] = len(items)
            made = _made_of(subject, of, layer)
            own = _as_sold(layer, of)
            items.append(Item(_words(layer, of), layer.thick_mm, own.outside_mm, own.inside_mm, 0, made))
        k = alike[layer]
        item = items[k]
        items[k] = Item(item.what, item.thick_mm, item.outside_mm, item.inside_mm, item.a_stack + 1, item.mark)
        which.append(k)
    if of.packing_mm > 0.0:
        words = f"washer for {of.thread}, for the nut to find thread"
        items.append(Item(words, f.washer_mm, f.washer_out_mm, f.washer_in_mm, packing(of)))
    items.append(Item(f"{of.thread} self-locking nut", f.nut_mm, None, None, 1))
    return items, which


def _as_sold(layer: Layer, of: Bolted) -> Layer:
    """A layer that is nothing but a shim ring is as narrow as one."""
    made_of = pile(of.thread, layer) if layer.what in ("washer", "spacer") else None
    if made_of is None or made_of.washers:
        return layer
    inside, outside = SHIM_RINGS[of.thread]
    return replace(layer, outside_mm=outside, inside_mm=inside)


def _words(layer: Layer, of: Bolted) -> str:
    """What a layer is called in the list."""
    match layer.what:
        case "washer" | "spacer":
            made_of = pile(of.thread, layer)
            if made_of is None:
                return "ring, turned"
            washers = {0: "", 1: f"washer for {of.thread}"}.get(
                made_of.washers, f"{made_of.washers} washers for {of.thread}"
            )
            shim = f"shim ring for {of.thread}, {mm(made_of.shim_mm)}" if made_of.shim_mm > 0.0 else ""
            return " and ".join(w for w in (washers, shim) if w)
        case "sleeve":
            return "axle sleeve" if of.what == "axle bolt" else "pivot sleeve"
        case "hub":
            return "wheel with its hub"
        case "plate":
            return "bracket plate"
        case _:
            return layer.what


def _made_of(subject: Subject, of: Bolted, layer: Layer) -> str:
    """The mark of the made part that a layer is; "" of what is bought."""
    ring = "spacer" if layer in turned(of) else ""
    sleeve = "axle sleeve" if of.what == "axle bolt" else "pivot sleeve"
    what = {"sleeve": sleeve, "plate": "bracket plate", "washer": ring, "spacer": ring}.get(layer.what, "")
    near = [p for p in subject.made if p.what == what and set(of.bogies) & set(p.bogies)]
    found = [p for p in near if abs((p.width_mm if p.what == "bracket plate" else p.length_mm) - layer.thick_mm) < 1e-6]
    return found[0].mark if len(found) == 1 else ""


def arm_of(subject: Subject, of: Bolted) -> Made | None:
    """The arm or beam that a bolt is of."""
    path = f"{of.path.rpartition('.')[0]}.arm"
    near = [p for p in subject.made if p.what in ("arm", "beam") and set(of.bogies) & set(p.bogies)]
    return next((p for p in near if p.path.split(".", 2)[-1] == path.split(".", 2)[-1]), None)


def _along(subject: Subject, of: Bolted, mark: str, which: list[int | None]) -> View:
    washer = max(x.outside_mm or 0.0 for x in of.layers if x.what in ("washer", "sleeve"))
    arm = arm_of(subject, of) if of.what != "hull bolt" else None
    most = 0.5 * washer * BROKEN_TIMES
    if arm is not None:
        most = max(most, 0.5 * arm.height_mm + 6.0)
    ink: list[Ink] = []
    links, balloons, r = [], [], 0.5 * of.diameter_mm
    f = FASTENERS[of.thread]
    balloons.append(Balloon((-0.5 * f.head_mm, -0.35 * f.across_mm), "1"))
    x = 0.0
    sleeve: tuple[float, float] | None = None
    for k, (given, number) in enumerate(zip(of.layers, which, strict=True)):
        layer = _as_sold(given, of)
        x1 = x + layer.thick_mm
        if layer.what in ("sleeve", "arm"):
            sleeve = (x, x1)
        if layer.what != "play":
            ink += _layer(layer, x, x1, most, of)
        if layer.thick_mm > 0.0:
            top = 0.5 * layer.outside_mm if layer.outside_mm is not None else most if layer.what != "play" else r
            top = min(top, most)
            links.append(Link(f"{mark}.layer.{k}", (x, top), (x1, top), mm(layer.thick_mm)))
        if number is not None:
            out = min(0.5 * (layer.outside_mm or 2.0 * most), most)
            bore = 0.5 * (layer.inside_mm or of.diameter_mm)
            balloons.append(Balloon((0.5 * (x + x1), -0.5 * (out + bore)), str(number + 1)))
        x = x1
    if arm is not None and sleeve is not None:
        ink = [*_arm(arm, 0.5 * (sleeve[0] + sleeve[1]), of), *ink]
    last = max(n or 0 for n in which) + 2
    if of.packing_mm > 0.0:
        ink += _layer(Layer("washer", of.packing_mm, f.washer_out_mm, f.washer_in_mm), x, x + of.packing_mm, most, of)
        out = 0.5 * f.washer_out_mm
        links.append(Link(f"{mark}.packing", (x, out), (x + of.packing_mm, out), mm(of.packing_mm)))
        balloons.append(Balloon((x + 0.5 * of.packing_mm, -0.25 * (f.washer_out_mm + f.washer_in_mm)), str(last)))
        x, last = x + of.packing_mm, last + 1
    balloons.append(Balloon((x + 0.5 * f.nut_mm, -0.35 * f.across_mm), str(last)))
    dims = [
        Dim(Span(f"{mark}.grip", (0.0, most), (of.grip_mm, most), "x"), (f"grip {mm(of.grip_mm)}",)),
        Dim(Span(f"{mark}.length", (0.0, -r), (of.length_mm, -r), "x"), (f"bolt {mm(of.length_mm)}",)),
    ]
    return View(
        f"cut along the {of.what}", (*ink, *bolt(of)), tuple(dims), chains=(Chain("above", tuple(links)),),
        balloons=tuple(balloons), beside_mm=30.0, outside=True,
    )  # fmt: skip


def _layer(layer: Layer, x0: float, x1: float, most: float, of: Bolted) -> Iterator[Ink]:
    """Above and below the bolt; broken off where it goes on beyond."""
    if x1 - x0 <= 0.0:
        return
    out = 0.5 * layer.outside_mm if layer.outside_mm is not None else 2.0 * most
    bore = 0.5 * (layer.inside_mm if layer.inside_mm is not None else of.diameter_mm)
    for side in (1.0, -1.0):
        top = min(out, most)
        ring = rectangle(x0, min(side * bore, side * top), x1, max(side * bore, side * top))
        yield Cut((ring,), LEANS[layer.what], pen="cut" if out <= most else "thin")
        if out > most:
            yield Path(((x0, side * bore), (x0, side * most)))
            yield Path(((x1, side * bore), (x1, side * most)))
            yield Broken((x0, side * most), (x1, side * most))


def _arm(arm: Made, middle: float, of: Bolted) -> Iterator[Ink]:
    """The arm cut across at its hole, its middle at a place along the bolt."""
    word = "pivot" if of.what == "pivot bolt" else "axle"
    hole = next((h for h in arm.holes if h.name.startswith(word)), None)
    if hole is None:
        return
    half, r = 0.5 * arm.width_mm, 0.5 * hole.diameter_mm
    low, high = -hole.up_mm, arm.height_mm - hole.up_mm
    tube = arm.stock.form in ("square tube", "round tube")
    wall = arm.stock.sizes_mm[1] if tube else half
    closed = arm.height_mm >= arm.stock.sizes_mm[0] - 1e-6
    if not tube:
        for a, b in ((r, high), (low, -r)):
            yield Cut((rectangle(middle - half, a, middle + half, b),), 45.0)
        return
    left, right, inner = middle - half, middle + half, (middle - half + wall, middle + half - wall)
    if closed:
        upper = (
            (left, r), (inner[0], r), (inner[0], high - wall), (inner[1], high - wall), (inner[1], r), (right, r),
            (right, high), (left, high),
        )  # fmt: skip
        yield Cut((upper,), 45.0)
    else:
        for a, b in ((left, inner[0]), (inner[1], right)):
            yield Cut((rectangle(a, r, b, high),), 45.0)
    lower = (
        (left, -r), (inner[0], -r), (inner[0], low + wall), (inner[1], low + wall), (inner[1], -r), (right, -r),
        (right, low), (left, low),
    )  # fmt: skip
    yield Cut((lower,), 45.0)
