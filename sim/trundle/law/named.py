"""A State as Python holds it: every number by its name, to copy, perturb, save and load."""

from __future__ import annotations

import tokenize
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Self

import numpy as np

from trundle.errors import InputError, Problem, did_you_mean
from trundle.law.state import KIND_NAMES, STATE, new_state
from trundle.model.arrays import Floats, Records

if TYPE_CHECKING:
    from trundle.model.assembly import Assembly


@dataclass(frozen=True)
class Names:
    """What the bodies of a vehicle are called.

    arms: of each joint, which is also that of the body it carries; rings: of each road wheel, sprocket and idler.
    """

    arms: tuple[str, ...]
    rings: tuple[str, ...]


_NO_STATE = (
    OSError, ValueError, KeyError, EOFError, TypeError, NotImplementedError,
    zipfile.BadZipFile, zlib.error, tokenize.TokenError,
)  # fmt: skip
"""What numpy raises for a file that holds no arrays, or damaged ones."""


class State:
    """Everything that survives a step, by name: `state["band.speed_m_s"]`, `state["hull.y_m"]`,
    `state["arm.front.fore.angle_rad"]`, `state["wheel.front.fore.load_N"]`. SI; both sides together.

    record: the (1,) STATE record behind it, shared with the compiled law.
    """

    __slots__ = ("names", "record")

    def __init__(self, names: Names, record: Records | None = None) -> None:
        self.names = names
        self.record: Records = new_state() if record is None else record

    @classmethod
    def of(cls, assembly: Assembly) -> Self:
        """That of a vehicle that has never moved, all zero: bodies at the course's start, as yet without place."""
        return cls(Names(assembly.joint, assembly.ring_names))

    @property
    def bodies(self) -> Floats:
        """x, y, angle, vx, vy, spin of each body, (nb, 6) [m, rad, m/s, rad/s]; a view, the hull first."""
        return self.body_rows[: 1 + len(self.names.arms)]

    @property
    def body_rows(self) -> Floats:
        """The same with the spare rows that pymunk's reading wants."""
        rows: Floats = self.record["body"][0].view(np.ndarray).view(np.float64).reshape(-1, 6)
        return rows

    @property
    def pivots(self) -> Floats:
        """Impulse of each pivot in the last step, (nj, 2) [N.s]; a view."""
        rows: Floats = self.record["pivot"][0].view(np.ndarray).view(np.float64).reshape(-1, 2)
        return rows[: len(self.names.arms)]

    @property
    def time_s(self) -> float:
        """How long the vehicle has run [s]."""
        return float(self.record[0].clock.time_s)

    def keys(self) -> Iterator[str]:
        """The names of all its numbers."""
        return iter(_places(self.names))

    def __iter__(self) -> Iterator[str]:
        return self.keys()

    def _at(self, name: str) -> tuple[int, bool]:
        places = _places(self.names)
        if name not in places:
            raise KeyError(f"a State has no {name!r}{did_you_mean(name, list(places))}")
        return places[name]

    def _flat(self, whole: bool) -> Any:
        return self.record.view(np.ndarray).view(np.int64 if whole else np.float64)

    def __getitem__(self, name: str) -> float:
        """A number by name. Raises KeyError with the nearest name."""
        at, whole = self._at(name)
        return float(self._flat(whole)[at])

    def __setitem__(self, name: str, value: float) -> None:
        at, whole = self._at(name)
        self._flat(whole)[at] = value

    def __eq__(self, other: object) -> bool:
        """True if every bit is the same."""
        if not isinstance(other, State):
            return NotImplemented
        return self.names == other.names and self.record.tobytes() == other.record.tobytes()

    __hash__ = None  # type: ignore[assignment]  # it changes

    def __repr__(self) -> str:
        return f"State after {self.time_s:g} s: hull at {self['hull.x_m']:.3f} m, {len(self.names.arms)} arms"

    def copy(self) -> Self:
        """One that changes on its own."""
        return type(self)(self.names, self.record.copy())

    def save(self, path: str | Path) -> None:
        """Write it to a file, to the last bit (NumPy's .npz); an older file of that name is replaced when it is whole.

        Raises InputError if it cannot be written.
        """
        path = Path(path)
        names = np.array([*self.names.arms, "", *self.names.rings])
        part = path.with_name(f".{path.name[:100]}.part")
        try:
            with part.open("wb") as file:
                np.savez_compressed(file, state=self.record.view(np.uint8), layout=np.array(_layout()), names=names)
            part.replace(path)
        except (OSError, ValueError) as e:
            why = getattr(e, "strerror", None) or e
            raise InputError(Problem(f"cannot be written: {why}", file=str(path))) from None

    @classmethod
    def load(cls, path: str | Path) -> Self:
        """Read one back. Raises InputError if the file is none, or of another version of the law."""
        try:
            with Path(path).open("rb") as file, np.load(file, allow_pickle=False) as kept:
                raw, layout, names = kept["state"], str(kept["layout"]), [str(n) for n in kept["names"]]
        except FileNotFoundError:
            raise InputError(Problem("no such file", file=str(path))) from None
        except _NO_STATE:
            raise InputError(
                Problem("holds no saved state, or a damaged one", file=str(path), allowed="what State.save has written")
            ) from None
        if layout != _layout() or raw.nbytes != STATE.itemsize or "" not in names:
            raise InputError(
                Problem(
                    "was saved by another version of Trundle, whose law remembers other things", file=str(path),
                    allowed="a state saved by this version: run again up to there",
                )
            )  # fmt: skip
        cut = names.index("")
        record: Records = np.frombuffer(bytearray(raw.tobytes()), dtype=STATE).view(np.recarray)
        return cls(Names(tuple(names[:cut]), tuple(names[cut + 1 :])), record)


def _layout() -> str:
    """The record's fields as text: two versions of the law with the same one can read each other's states."""
    return str(np.dtype(STATE).descr)


def _leaves(kind: np.dtype[Any], at: int = 0, name: str = "") -> Iterator[tuple[str, int, bool]]:
    """(name, place in numbers of 8 bytes, whether a whole number) of all numbers of a record type."""
    if kind.subdtype is not None:
        base, shape = kind.subdtype
        for k in range(int(np.prod(shape))):
            yield from _leaves(base, at + k * base.itemsize // 8, f"{name}.{k}")
    elif kind.fields is not None:
        for field, (inside, offset) in ((f, kind.fields[f][:2]) for f in kind.names or ()):
            yield from _leaves(inside, at + offset // 8, f"{name}.{field}" if name else field)
    else:
        yield name, at, kind == np.dtype("i8")


@lru_cache(maxsize=64)
def _places(names: Names) -> dict[str, tuple[int, bool]]:
    """Where each named number of a vehicle's State stands; rows that the vehicle has not are left out."""
    bodies = ("hull", *(f"arm.{n}" for n in names.arms))
    found = {}
    for path, at, whole in _leaves(STATE):
        part = path.removeprefix("law.").split(".")
        rows = {"body": bodies, "gain": bodies, "joint": bodies[1:], "pivot": bodies[1:], "ring": names.rings}.get(
            part[0]
        )
        if rows is not None:
            k = int(part[1])
            if k >= len(rows):
                continue
            part = [rows[k], *(["gain"] if part[0] == "gain" else []), *part[2:]]
        elif part[:2] == ["ledger", "kind_J"]:
            part = ["ledger", f"{KIND_NAMES[int(part[2])]}_J"]
        elif part[:2] == ["order", "owner"]:
            part = ["order", part[2]]
        elif part[0] == "ground" and len(part) > 2:
            part = ["ground", part[2], *(["owner"] if part[1] == "owner" else part[3:])]
        found[".".join(part)] = (at, whole)
    return found


__all__ = ["Names", "State"]
