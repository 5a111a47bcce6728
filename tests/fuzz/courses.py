"""Course files: obstacles of all kinds, driver tables, spoilt ones, over shipped vehicles."""

from __future__ import annotations

from random import Random

from tests.fuzz import mutate, shelf
from tests.fuzz.case import Case, Place
from tests.fuzz.toml import toml


def make(rng: Random, place: Place) -> Case:
    """A course file under a shipped vehicle, or drawn."""
    name = rng.choice(shelf.VEHICLES)
    tables = shelf.course(rng, name)
    kind = rng.random()
    if kind < 0.35:
        tables = mutate.gentle(rng, tables, spread=0.6)
    elif kind < 0.82:
        tables = mutate.structured(rng, tables)
    content = toml(tables).encode("utf-8", "surrogatepass")
    if kind >= 0.82:
        content = mutate.unstructured(rng, content)
    (place.work / "way.toml").write_bytes(content)
    names = ("way.toml", name, "driver", "obstacle")
    which = rng.random()
    if which < 0.7:
        grid = rng.choice(((), (), (), ("--ground-mm", rng.choice(("10", "2", "1")))))
        return Case(("run", name, "way.toml", "--out", "out", *grid), (*names, "--dt-ms"), ("out",), kept="out")
    if which < 0.94:
        more = rng.choice(((), ("--out", "out.svg"), ("--out", "out.pdf"), ("--out", "out.png")))
        return Case(("course", "way.toml", *more), names, ("out.svg", "out.pdf", "out.png"))
    if which < 0.985:
        return Case(("watch", name, "way.toml", "--frame", "1", "out.png"), names, ("out.png",))
    study = ("--vary", "obstacle.1.height_mm=20,30", "--workers", "1", "--out", "out")
    return Case(("compare", name, "way.toml", *study), names, ("out",))
