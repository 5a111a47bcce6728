"""Vehicle files: gently changed ones that run, valid ones at the ends of what is allowed, spoilt ones."""

from __future__ import annotations

import math
from random import Random
from typing import Any

from tests.fuzz import mutate, shelf
from tests.fuzz.case import Case, Place
from tests.fuzz.toml import toml

TOGETHER = (
    "mass",
    "rate",
    "thickness",
    "diameter",
    "loss",
    "grip",
    "friction",
    "speed",
    "brake",
    "torque",
    "free",
    "damper",
    "inertia",
)
"""Fields with these in their names are scaled together: a heavy, light, stiff, soft, fast or slippery vehicle."""


def make(rng: Random, place: Place) -> Case:
    """A vehicle file, over a short course, drawn or on the sheet."""
    name = rng.choice(shelf.VEHICLES)
    tables = shelf.vehicle(name)
    kind = rng.random()
    if kind < 0.25:
        tables = mutate.gentle(rng, tables)
    elif kind < 0.5:
        tables = extreme(rng, tables)
    elif kind < 0.85:
        tables = mutate.structured(rng, tables)
    content = toml(tables).encode("utf-8", "surrogatepass")
    if kind >= 0.85:
        content = mutate.unstructured(rng, content)
    (place.work / "hull.toml").write_bytes(content)
    (place.work / "short.toml").write_text(toml(shelf.course(rng, name)), encoding="utf-8")
    return _command(rng)


def _command(rng: Random) -> Case:
    names = ("hull.toml", "short.toml")
    which = rng.random()
    if which < 0.66:
        more: tuple[str, ...] = rng.choice(
            ((), (), (), ("--speed", rng.choice(("0.05", "3", "12", "30"))), ("--dt-ms", rng.choice(("0.5", "2", "5"))))
        )
        return Case(
            ("run", "hull.toml", "short.toml", "--out", "out", *more), (*names, "--dt-ms"), ("out",), kept="out"
        )
    if which < 0.74:
        out = rng.choice(("out.svg", "out.png", "out.pdf"))
        return Case(("draw", "hull.toml", "--out", out), names, (out,))
    if which < 0.86:
        more = rng.choice(
            ((), ("--html", "out.html"), ("--pdf", "out.pdf"), ("--templates", "out"), ("--sensitivity",))
        )
        return Case(("sheet", "hull.toml", *more), names, ("out", "out.html", "out.pdf"))
    if which < 0.89:
        return Case(("limits", "hull.toml", "--speed", rng.choice(("0.5", "1", "3"))), names)
    if which < 0.95:
        return Case(
            ("watch", "hull.toml", "short.toml", "--frame", "0.7", "out.png", "--size", "320x240"), names, ("out.png",)
        )
    if which < 0.985:
        return Case(("new", "Mine", "--like", "hull.toml", "--out", "mine.toml"), names, ("mine.toml",))
    study = ("--vary", "hull.mass_kg=50,300", "--workers", "1", "--out", "out")
    return Case(("compare", "hull.toml", "short.toml", *study), names, ("out",))


def extreme(rng: Random, tables: dict[str, Any]) -> dict[str, Any]:
    """One to three kinds of fields scaled together, and the drive's own limits drawn anew."""
    for word in rng.sample(TOGETHER, rng.choice((1, 2, 3))):
        factor = math.exp(rng.uniform(-1.6, 1.6))
        for at in mutate.numbers(tables):
            holder = mutate.look(tables, at[:-1])
            if isinstance(at[-1], str) and word in at[-1] and "build" not in at:
                holder[at[-1]] *= factor
    drive = tables["drive"]
    if rng.random() < 0.3:
        drive["speed_m_s"] = rng.choice((0.02, 0.1, 3, 8, 30))
    if rng.random() < 0.2:
        drive["acceleration_m_s2"] = rng.choice((0.01, 0.05, 5, 10))
    if rng.random() < 0.2:
        drive["grip"] = rng.choice((0.001, 0.1, 1.5))
    if rng.random() < 0.2:
        drive["brake_N"] = rng.choice((0, 1, 200_000))
    if rng.random() < 0.1:
        drive["power_W"] = rng.choice((1, 50, 1_000_000))
    return tables
