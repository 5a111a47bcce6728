"""Baselines: lists, tolerances and kept figures that are wrong; then kept anew or checked."""

from __future__ import annotations

import json
import shutil
import tomllib
from random import Random

from tests.fuzz import mutate, shelf
from tests.fuzz.case import Case, Place
from tests.fuzz.toml import toml


def make(rng: Random, place: Place) -> Case:
    """The stock baseline with one of its two files changed."""
    work = place.work
    for name in ("wren.toml", "short.toml", "shop.toml", "shop.kept.json"):
        shutil.copy(place.stock / name, work / name)
    shop, kept = work / "shop.toml", work / "shop.kept.json"
    kind = rng.random()
    if kind < 0.35:
        shop.write_bytes(toml(declared(rng)).encode("utf-8", "surrogatepass"))
    elif kind < 0.42:
        shop.write_bytes(mutate.unstructured(rng, shop.read_bytes()))
    elif kind < 0.75:
        kept.write_text(
            json.dumps(mutate.structured(rng, json.loads(kept.read_text(encoding="utf-8"))), default=str),
            encoding="utf-8",
        )
    elif kind < 0.85:
        kept.write_bytes(mutate.unstructured(rng, kept.read_bytes()))
    else:
        mutate.instead(rng, rng.choice((shop, kept)), place.root / "canary.csv")
    more = rng.choice(
        (
            (),
            (),
            ("--accept", rng.choice(("better", "", "[red]"))),
            ("--junit", rng.choice(("out.xml", "shop.toml", "sub/out.xml"))),
        )
    )
    args = (
        ("check", "shop.toml", "--workers", "1", *more)
        if rng.random() < 0.85
        else ("keep", "shop.toml", "--workers", "1")
    )
    return Case(("baseline", *args), ("shop", "wren", "short", "tolerance", "--"), ("shop.kept.json", "out.xml", "sub"))


def declared(rng: Random) -> dict[str, object]:
    """shop.toml with another tolerance, or spoilt."""
    tables = tomllib.loads(shelf.SHOP)
    if rng.random() < 0.5:
        return mutate.structured(rng, tables)
    figure = rng.choice(
        ("every", "peak_seat_g", "peak_seat", "vehicle", "ended_because", "wheels", "bump_stop_hits", "")
    )
    tables["tolerance"][figure] = rng.choice(
        ("3%", "3", "%", "-1%", "nan%", "1e400%", "3 %", 0, -1, 1e308, float("nan"), True, [], {}, "")
    )
    return tables
