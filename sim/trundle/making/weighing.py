"""What is made, weighed: each arm and beam beside the file's mass of it, and the running gear of one side with its
centre of mass."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from trundle.bogies.answers import Member
from trundle.bogies.parts import Parts, SwingPart
from trundle.making.bolted import Bolted
from trundle.making.bolts import bolts
from trundle.making.made import left_out, made
from trundle.making.ready import springs_ready
from trundle.making.spacers import piled
from trundle.spec.moving import parts_of
from trundle.spec.vehicle import Vehicle
from trundle.steel.fasteners import bolt_kg, nut_kg, shim_kg, washer_kg
from trundle.units import MM

HULL = "hull"


@dataclass(frozen=True)
class Lump:
    """A mass at a place. x_mm, y_mm: its centre of mass."""

    kg: float
    x_mm: float
    y_mm: float


@dataclass(frozen=True)
class Piece:
    """One piece of one side. what: "arm", "axle bolt with nut and washers". on: "hull", or the moving part that carries
    it; lump: in that one's axes, level, from its pivot; of the hull from tail and belly datum."""

    what: str
    on: str
    lump: Lump


@dataclass(frozen=True)
class Weighed:
    """An arm or beam as it is made, beside its mass in the file; alike ones of several bogies as one.

    path: the field of that mass, of the first. contents: what it is made of and what each weighs [kg]. made, filed: as
    it is made, as the file and the run have it; from its pivot, axle end forward, level. missing: fields that would
    add parts that are not counted.
    """

    names: tuple[str, ...]
    path: str
    contents: tuple[tuple[str, float], ...]
    made: Lump
    filed: Lump
    missing: tuple[str, ...]

    @property
    def more_kg(self) -> float:
        """How much more it weighs than the file says [kg]."""
        return self.made.kg - self.filed.kg

    @property
    def share(self) -> float:
        """The same as a share of what the file says."""
        return self.more_kg / self.filed.kg


@dataclass(frozen=True)
class RunningGear:
    """One side's running gear with its arms level: hull axes, forward of the tail, above the belly datum [kg, mm].

    made: arms and beams with sleeves and axle bolts, as made. filed: the same as the file and the run have them.
    wheels: as the file says. brackets: with their bolts and the pivots' bolts; springs: those whose mass is known,
    taken at their pivots: both are in the hull's mass. None: there is none.
    """

    made: Lump | None
    filed: Lump
    wheels: Lump
    brackets: Lump | None
    springs: Lump | None
    track_kg: float

    @property
    def moving(self) -> Lump | None:
        """What the springs do not carry, as made: arms, beams and wheels."""
        return None if self.made is None else together([self.made, self.wheels])

    @property
    def moving_filed(self) -> Lump:
        """The same as the run has it."""
        return together([self.filed, self.wheels])

    @property
    def whole(self) -> Lump:
        """All of it but the track; arms as made, or as filed where nothing says how they are made."""
        arms = self.filed if self.made is None else self.made
        return together(lump for lump in (arms, self.wheels, self.brackets, self.springs) if lump is not None)


def together(lumps: Iterable[Lump]) -> Lump:
    """Several masses as one, at their common centre. Raises ZeroDivisionError without any mass."""
    found = list(lumps)
    kg = sum(lump.kg for lump in found)
    return Lump(kg, sum(lump.kg * lump.x_mm for lump in found) / kg, sum(lump.kg * lump.y_mm for lump in found) / kg)


def set_kg(bolt: Bolted) -> float:
    """A bolt with its nut and all standard washers on it; rings that are turned are parts of their own [kg]."""
    piles = piled(bolt)
    shims = sum(shim_kg(bolt.thread, p.shim_mm) for p in piles if p.shim_mm > 0.0)
    many = sum(p.washers for p in piles)
    return bolt_kg(bolt.thread, bolt.length_mm) + nut_kg(bolt.thread) + many * washer_kg(bolt.thread) + shims


def pieces(vehicle: Vehicle) -> tuple[Piece, ...]:
    """Everything of one side that the file says enough about to weigh it, wheels and track left out.

    Raises InputError where a spring or stop cannot work.
    """
    parts = parts_of(vehicle)
    found = [
        Piece(part.name if part.what != "leaf" else "leaf", place.on, Lump(part.mass_kg, place.x_mm, place.y_mm))
        for part in made(vehicle)
        for place in part.places
    ]
    found += _bolts(vehicle, parts)
    for ready in springs_ready(vehicle):
        if ready.mass_kg is not None:
            own = [s for s in parts.springs if s.bogie in ready.where]
            many = ready.count / 2 / len(own)
            found += [Piece(ready.what, HULL, Lump(many * ready.mass_kg, *parts.middle_mm(s))) for s in own]
    return tuple(found)


def _bolts(vehicle: Vehicle, parts: Parts) -> Iterator[Piece]:
    """Axle bolts on their arms, pivot bolts on what holds the pivot, hull bolts on the hull."""
    own_of = {
        f"{member.path}.build": (name, member)
        for name, bogie in vehicle.bogie.items()
        for member in bogie.members(name)
    }
    for bolt in bolts(vehicle):
        name, member = own_of[bolt.path.rpartition(".")[0]]
        own = [p for p in parts.swings if p.bogie == name and p.what == member.what]
        what, each = f"{bolt.what} with nut and washers", set_kg(bolt)
        if bolt.what == "axle bolt":
            yield from (Piece(what, p.name, Lump(each, w.x / MM, w.y / MM)) for p in own for w in p.wheels)
            continue
        on = HULL if own[0].parent == 0 else parts.swings[own[0].parent - 1].name
        # Of several bolts at one bracket each is taken at the middle of its pivots.
        x, y = (sum(v) / len(own) / MM for v in zip(*((p.pivot_x, p.pivot_y) for p in own), strict=True))
        yield from (Piece(what, on, Lump(each, x, y)) for _ in range(bolt.count // 2))


def weighed(vehicle: Vehicle) -> tuple[Weighed, ...]:
    """Every arm and beam that the file says how to make, alike ones as one. Raises InputError as `pieces`."""
    parts, all_pieces, missing = parts_of(vehicle), pieces(vehicle), left_out(vehicle)
    found: dict[tuple[object, ...], Weighed] = {}
    for name, bogie in vehicle.bogie.items():
        for member in bogie.members(name):
            for swing in parts.swings:
                if swing.bogie != name or swing.what != member.what:
                    continue
                one = _one(member, swing, all_pieces, missing)
                if one is None:
                    continue
                # The same is missing of them, each in its own table.
                key = one.contents, one.filed.kg, tuple(m.replace(member.path, "") for m in one.missing)
                if key in found:
                    names = tuple(dict.fromkeys((*found[key].names, *one.names)))
                    one = Weighed(names, *_rest(found[key]))
                found[key] = one
    return tuple(found.values())


def _rest(w: Weighed) -> tuple[str, tuple[tuple[str, float], ...], Lump, Lump, tuple[str, ...]]:
    return w.path, w.contents, w.made, w.filed, w.missing


def _one(member: Member, swing: SwingPart, all_pieces: Iterable[Piece], missing: Iterable[str]) -> Weighed | None:
    own = [p for p in all_pieces if p.on == swing.name]
    if not any(p.what == member.what for p in own):
        return None
    contents: dict[str, float] = {}
    for p in own:
        contents[p.what] = contents.get(p.what, 0.0) + p.lump.kg
    field = "beam_mass_kg" if member.what == "beam" else "arm_mass_kg"
    lump = together(p.lump for p in own)
    return Weighed(
        (member.name,), f"{member.path}.{field}", tuple(contents.items()),
        Lump(lump.kg, swing.sign * lump.x_mm, lump.y_mm),
        Lump(swing.mass, swing.sign * swing.com_x / MM, swing.com_y / MM),
        tuple(m.partition(": ")[2] for m in missing if m.startswith(f"{member.name}: ")),
    )  # fmt: skip


def running_gear(vehicle: Vehicle) -> RunningGear:
    """One side's, arms level. Raises InputError as `pieces`."""
    parts, all_pieces = parts_of(vehicle), pieces(vehicle)
    at = {HULL: (0.0, 0.0)}
    for p in parts.swings:
        x, y = at[HULL if p.parent == 0 else parts.swings[p.parent - 1].name]
        at[p.name] = x + p.pivot_x / MM, y + p.pivot_y / MM

    def placed(on: str, lump: Lump) -> Lump:
        x, y = at[on]
        return Lump(lump.kg, x + lump.x_mm, y + lump.y_mm)

    def of(chosen: Iterable[Piece]) -> Lump | None:
        lumps = [placed(p.on, p.lump) for p in chosen]
        return together(lumps) if lumps else None

    springs = {"leaf", "torsion bar", "coil", "rubber block", "spring and damper", "gas strut"}
    wheels = [
        placed(p.name, Lump(vehicle.wheel[w.kind].mass_kg * vehicle.wheel[w.kind].abreast, w.x / MM, w.y / MM))
        for p in parts.swings
        for w in p.wheels
    ]
    track = vehicle.track
    return RunningGear(
        of(p for p in all_pieces if p.on != HULL),
        together(placed(p.name, Lump(p.mass, p.com_x / MM, p.com_y / MM)) for p in parts.swings),
        together(wheels),
        of(p for p in all_pieces if p.on == HULL and p.what not in springs),
        of(p for p in all_pieces if p.on == HULL and p.what in springs),
        track.length_m * track.mass_kg_per_m if track is not None else 0.0,
    )
