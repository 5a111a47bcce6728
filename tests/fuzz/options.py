"""Command lines: option values of every kind for every command, over files that are good."""

from __future__ import annotations

import shutil
from random import Random

from tests.fuzz import mutate, shelf
from tests.fuzz.case import Case, Place

NUMBERS = (
    "0", "1", "-1", "0.5", "3", "100", "nan", "inf", "-inf", "1e308", "1e-308", "", " ", "abc", "1,5", "0x10", "٣",
    "1e3", "5e-324", "--", "9" * 400,
)  # fmt: skip
PATHS = (
    "out", "deep/er/out", "wren.toml", "neighbour", "kept", ".", "", " ", "/dev/null", "/dev/full", "/proc/x",
    "/proc/self", "a" * 300, "b/" * 200, "é☃", "[red]", "-", "~", "\x1b[31m", "\udcff", "new\nline", "out/",
    "kept/summary.json", "loop",
)  # fmt: skip
FIELDS = (
    "hull.mass_kg", "bogie.*.arm_mm", "bogie.*.spring.diameter_mm", "hull", "bogie.*", "*", "*.*", "", ".", "hull.",
    "hull.mas_kg", "track.links", "hull.com_mm", "hull.com_mm.1", "hull.com_mm[9]", "bogie.nine.arm_mm", "name",
    "obstacle.1.height_mm", "drive.speed_m_s", "vehicle", "a" * 250,
)  # fmt: skip
VALUES = (
    *NUMBERS, "40", "44", "[1", "{}", "[1, 2]", "true", '"x"', "2024-01-01", "[" * 200, "a = 1\nb = 2", "é", "[red]",
    "../x",
)  # fmt: skip
FIGURES = ("peak_seat_g", "bump_stop_hits", "peak_seat", "", "vehicle", "wheels", "peak_wheel_load_N")

ENVIRONMENTS: tuple[dict[str, str | None], ...] = (
    {}, {}, {"LC_ALL": "C", "PYTHONIOENCODING": "ascii"}, {"TERM": "dumb", "COLUMNS": "1"}, {"COLUMNS": "0"},
    {"COLUMNS": "x"}, {"HOME": None},
    {"HOME": "/nowhere"}, {"TMPDIR": "/nowhere"}, {"PYTHONUNBUFFERED": "1"}, {"TERM": None}, {"LANG": "xx"},
    {"NO_COLOR": "1", "FORCE_COLOR": "1"},
    {"PYTHONIOENCODING": "utf-16"}, {"TZ": "x"}, {"COLUMNS": "100000"}, {"PYTHONUTF8": "0", "LC_ALL": "POSIX"},
)  # fmt: skip


def make(rng: Random, place: Place) -> Case:
    """A command line over good files, in an odd environment now and then, interrupted now and then."""
    work = place.work
    for name in ("wren.toml", "short.toml", "shop.toml", "shop.kept.json"):
        shutil.copy(place.stock / name, work / name)
    shutil.copytree(place.stock / "kept", work / "kept")
    (work / "neighbour").mkdir()
    (work / "neighbour" / "mine.txt").write_text("mine", encoding="utf-8")
    (work / "loop").symlink_to("loop")
    command = rng.choice(
        (
            "run",
            "run",
            "run",
            "watch",
            "watch",
            "sheet",
            "sheet",
            "compare",
            "compare",
            "course",
            "course",
            "new",
            "limits",
            "mend",
            "baseline",
            "turn",
            "tip",
            "noise",
        )
    )
    args = COMMANDS[command](rng)
    said = (a.partition("=")[2] if a.startswith("--") else a for a in args)
    writes = tuple(filter(None, said)) if command != "noise" else ()
    # A file that is read may be named as the place to write, too: only these are never to be written over.
    writes = tuple(w for w in writes if w not in ("wren.toml", "short.toml", "shop.toml", "neighbour", "loop"))
    odd = rng.random()
    if odd < 0.12:
        closed = rng.choice(((), (), (0,), (1,), (2,), (0, 1), (0, 1, 2)))
        return Case(args, (), (*writes, "results"), process=True, env=rng.choice(ENVIRONMENTS), closed=closed)
    return Case(args, (), (*writes, "results"), interrupt_s=rng.uniform(0.0, 0.4) if odd < 0.2 else None)


def _some(rng: Random, *options: tuple[str, tuple[str, ...]]) -> list[str]:
    """Up to three of the options, each with a value."""
    said: list[str] = []
    for name, values in rng.sample(options, min(len(options), rng.choice((0, 1, 1, 2, 3)))):
        value = rng.choice(values)
        said += [f"{name}={value}"] if rng.random() < 0.5 else [name, value]
    return said


def _set(rng: Random) -> tuple[str, ...]:
    drawn = (f"{rng.choice(FIELDS)}={rng.choice(VALUES)}" for _ in range(4))
    return (*drawn, "x", "=", "hull.mass_kg=46")


def _run(rng: Random) -> tuple[str, ...]:
    more = _some(
        rng,
        ("--speed", NUMBERS),
        ("--dt-ms", (*NUMBERS, "2")),
        ("--ground-mm", (*NUMBERS, "5", "10")),
        ("--out", PATHS),
        ("--set", _set(rng)),
    )
    return ("run", "wren.toml", "short.toml", *more, *(("--how-sure",) if rng.random() < 0.1 else ()))


def _watch(rng: Random) -> tuple[str, ...]:
    more = _some(
        rng, ("--from", NUMBERS), ("--to", (*NUMBERS, "1.1")), ("--slow", NUMBERS), ("--show", ("loads", "x", "",
            "track")), ("--hide", ("x", "loads", "")),
        ("--size", ("320x200", "1x1", "99999x99999", "0x0", "axb", "", "64x64", "320x201", "-1x5")),
    )  # fmt: skip
    what = rng.choice(
        (
            ("kept",),
            ("kept", "kept"),
            ("wren.toml", "short.toml"),
            ("neighbour",),
            ("wren.toml",),
            ("kept", "short.toml"),
            ("wren", "kept"),
        )
    )
    if rng.random() < 0.6:
        return (
            "watch",
            *what,
            "--frame",
            rng.choice(NUMBERS),
            rng.choice((*PATHS, "out.png", "out.png", "out.svg")),
            *more,
        )
    bounds = ("--from", "1", "--to", "1.1") if rng.random() < 0.8 else ()
    return ("watch", *what, "--movie", rng.choice((*PATHS, "out.gif", "out.gif", "out.avi")), *bounds, *more)


def _sheet(rng: Random) -> tuple[str, ...]:
    places = (*PATHS, "out.html", "out.pdf")
    runs = ("kept", "neighbour", "", "wren.toml", "loop", ".")
    more = _some(
        rng, ("--factor", NUMBERS), ("--run", runs), ("--html", places), ("--pdf", places), ("--templates", places),
        ("--paper", ("A4", "letter", "Tabloid", "A9", "")), ("--set", _set(rng)),
    )  # fmt: skip
    return ("sheet", rng.choice(("wren.toml", "wren", "kept", "short.toml", "")), *more)


RANGES = ("40,44", "40:44:2", "1:2:0", "2:1:1", "40:44:-1", "0:1e9:1e-9", "nan:1:1", ":::", ",", *VALUES)
AMOUNTS = ("5%", "2", "-1", "200%", "nan", "", "%", "1e308", "0")


def _compare(rng: Random) -> tuple[str, ...]:
    field = rng.choice((*FIELDS[:3], *FIELDS))
    limit = f"{rng.choice(FIGURES)}{rng.choice(('<', '<=', '>', '=', ''))}{rng.choice(NUMBERS)}"
    common = _some(
        rng, ("--speed", (*NUMBERS, "0.8,1")), ("--set", _set(rng)), ("--dt-ms", NUMBERS), ("--ground-mm", NUMBERS),
        ("--budget-s", NUMBERS), ("--out", PATHS), ("--limit", (limit,)),
    )  # fmt: skip
    kind = rng.choice(("vary", "vary", "listed", "find", "find", "tolerance", "tolerance"))
    if kind == "tolerance":
        own = ["--tolerance", f"{field}={rng.choice(AMOUNTS)}", "--samples", rng.choice(("2", "3", "1", "0", "x"))]
    else:
        own = ["--vary", f"{field}={rng.choice(RANGES)}"]
        own += {"find": ["--find", "--samples", rng.choice(("2", "3"))], "listed": ["--listed"], "vary": []}[kind]
    workers = rng.choice(("1", "1", "1", "2", "0", "x"))
    return ("compare", "wren.toml", "short.toml", *own, "--workers", workers, *common)


def _course(rng: Random) -> tuple[str, ...]:
    field = rng.choice(("obstacle.1.height_mm", "run_up_mm", "obstacle", "obstacle.9.kind", "driver", "name"))
    more = _some(rng, ("--out", (*PATHS, "out.svg", "out.jpg", ".png")), ("--set", (f"{field}={rng.choice(VALUES)}",)))
    return ("course", rng.choice(("short.toml", "yard", "wren.toml", "")), *more)


def _new(rng: Random) -> tuple[str, ...]:
    like = rng.choice((*shelf.VEHICLES, "wren.toml", "short.toml", "kept", "", "nothing", "/dev/null"))
    return (
        "new",
        rng.choice([t for t in mutate.TEXTS if "\x00" not in t]),
        "--like",
        like,
        *_some(rng, ("--out", (*PATHS, "mine.toml"))),
    )


def _limits(rng: Random) -> tuple[str, ...]:
    speeds = tuple(n for n in NUMBERS if n != "0.5")
    return ("limits", "wren.toml", *_some(rng, ("--speed", speeds), ("--set", _set(rng))))


def _turn(rng: Random) -> tuple[str, ...]:
    on = ("grass", "wet-tarmac", "", "mud", *NUMBERS)
    runs = ("kept", "neighbour", "", "wren.toml", "loop", ".")
    return (
        "turn",
        rng.choice(("wren.toml", "wren", "kept", "")),
        *_some(rng, ("--on", on), ("--radius-m", NUMBERS), ("--run", runs), ("--set", _set(rng))),
    )


def _tip(rng: Random) -> tuple[str, ...]:
    moved = (("--aside-mm", NUMBERS), ("--ahead-mm", NUMBERS), ("--up-mm", NUMBERS))
    return ("tip", rng.choice(("wren.toml", "wren", "kept", "")), *_some(rng, *moved, ("--set", _set(rng))))


def _mend(rng: Random) -> tuple[str, ...]:
    figures = ("peak_seat_g", "track_loose_s", "arm_margin", "distance_m", *FIGURES)
    more = _some(
        rng, ("--for", figures), ("--near", ("1", "2", "0", "x", "-1", "1e9")), ("--speed", NUMBERS),
        ("--set", _set(rng)), ("--workers", ("1", "0", "x")), ("--out", PATHS),
    )  # fmt: skip
    return ("mend", "wren.toml", "short.toml", *more)


def _baseline(rng: Random) -> tuple[str, ...]:
    more = _some(
        rng,
        ("--junit", (*PATHS, "out.xml")),
        ("--accept", ("", "x", "[red]")),
        ("--workers", ("0", "x", "1")),
        ("--cluster", ("", " ", "x", "tcp://")),
    )
    return (
        "baseline",
        rng.choice(("check", "keep", "chek")),
        rng.choice(("shop.toml", "shop", "wren.toml", "kept", "")),
        *more,
    )


def _noise(rng: Random) -> tuple[str, ...]:
    words = (
        "run",
        "watch",
        "sheet",
        "compare",
        "new",
        "--help",
        "-h",
        "--version",
        "wren",
        "short.toml",
        "--",
        "-",
        "=",
        "--set",
        "--out",
        "-x",
        "é",
        "[red]",
    )
    return tuple(rng.choice(words) for _ in range(rng.randrange(4)))


def _buy(rng: Random) -> tuple[str, ...]:
    places = (*PATHS, "out.csv", "out.xlsx")
    sizes = ("500x250", "100x1000", "x", "1e5x1e5", "-1x2", "nanxnan", "")
    more = _some(
        rng, ("--kerf-mm", NUMBERS), ("--stock-mm", NUMBERS), ("--sheet-mm", sizes), ("--csv", places),
        ("--xlsx", places), ("--set", _set(rng)),
    )  # fmt: skip
    return ("buy", rng.choice(("wren.toml", "wren", "kept", "short.toml", "")), *more)


COMMANDS = {
    "run": _run, "watch": _watch, "sheet": _sheet, "buy": _buy, "compare": _compare, "course": _course, "new": _new,
    "limits": _limits, "mend": _mend, "baseline": _baseline, "turn": _turn, "tip": _tip,
    "noise": _noise,
}  # fmt: skip
