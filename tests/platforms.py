"""Where Trundle installs without a compiler, by Python version and system: `python -m tests.measure platforms`.

The package index (its JSON form, PEP 691) is asked which wheels there are of every package that Trundle needs, directly
or not. Nothing is installed, and each package is looked at by itself: this says what can be had, not that it runs.
"""

from __future__ import annotations

import json
import tomllib
import urllib.request
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from importlib.metadata import PackageNotFoundError, requires

from packaging.requirements import Requirement
from packaging.specifiers import SpecifierSet
from packaging.tags import Tag, compatible_tags, cpython_tags, mac_platforms
from packaging.utils import InvalidWheelFilename, canonicalize_name, parse_wheel_filename
from packaging.version import Version

from tests.measured import ROOT, Measurement, no_arguments, table

INDEX = "https://pypi.org/simple"
PYTHONS = ((3, 11), (3, 12), (3, 13), (3, 14))


@dataclass(frozen=True)
class System:
    """name: in words; platforms: tags of wheels that it takes, the best first; marks: what markers ask of it."""

    name: str
    platforms: tuple[str, ...]
    marks: tuple[str, str, str]


def _linux(machine: str, glibc: int) -> tuple[str, ...]:
    old = ("manylinux2014", *(("manylinux2010", "manylinux1") if machine == "x86_64" else ()))
    return (*(f"manylinux_2_{n}_{machine}" for n in range(glibc, 4, -1)), *(f"{name}_{machine}" for name in old))


LINUX, MAC, WINDOWS = ("linux", "Linux"), ("darwin", "Darwin"), ("win32", "Windows")
SYSTEMS = (
    System("Linux x86_64, glibc 2.28 or newer", _linux("x86_64", 28), (*LINUX, "x86_64")),
    System("Linux ARM, glibc 2.28 or newer", _linux("aarch64", 28), (*LINUX, "aarch64")),
    System("Linux x86_64, musl", tuple(f"musllinux_1_{n}_x86_64" for n in (2, 1, 0)), (*LINUX, "x86_64")),
    System("Windows x86_64", ("win_amd64",), (*WINDOWS, "AMD64")),
    System("Windows ARM", ("win_arm64",), (*WINDOWS, "ARM64")),
    *(System(f"macOS {v} ARM", tuple(mac_platforms((v, 0), "arm64")), (*MAC, "arm64")) for v in (14, 13, 12, 11)),
    *(System(f"macOS {v} Intel", tuple(mac_platforms((v, 0), "x86_64")), (*MAC, "x86_64")) for v in (14, 11)),
)


def needed(python: tuple[int, int], system: System) -> dict[str, SpecifierSet]:
    """Every package that Trundle needs there, with what is asked of its version. Raises nothing for one that is not
    installed here: what it needs in turn is then left out."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    version = f"{python[0]}.{python[1]}"
    sys_platform, platform_system, machine = system.marks
    marks = {
        "python_version": version, "python_full_version": f"{version}.0", "sys_platform": sys_platform,
        "platform_system": platform_system, "platform_machine": machine, "extra": "",
        "implementation_name": "cpython", "platform_python_implementation": "CPython",
        "os_name": "nt" if sys_platform == "win32" else "posix",
    }  # fmt: skip
    found: dict[str, SpecifierSet] = {}
    left = [Requirement(line) for line in project["dependencies"]]
    while left:
        one = left.pop()
        name = canonicalize_name(one.name)
        if one.marker is not None and not one.marker.evaluate(marks):
            continue
        new = name not in found
        found[name] = found.get(name, SpecifierSet()) & one.specifier
        if new:
            try:
                left += [Requirement(line) for line in requires(name) or []]
            except PackageNotFoundError:
                continue
    return found


@cache
def files(package: str) -> tuple[tuple[Version, frozenset[Tag], SpecifierSet], ...]:
    """Wheels of a package on the index that are no pre-releases and not withdrawn, with the Pythons they ask for."""
    asked = urllib.request.Request(  # an https address, above
        f"{INDEX}/{package}/", headers={"Accept": "application/vnd.pypi.simple.v1+json"}
    )
    with urllib.request.urlopen(asked, timeout=60) as answer:
        listed = json.load(answer)["files"]
    found = []
    for file in listed:
        try:
            _, version, _, tags = parse_wheel_filename(file["filename"])
            pythons = SpecifierSet(file.get("requires-python") or "")
        except (InvalidWheelFilename, ValueError):
            continue
        if not version.is_prerelease and not file.get("yanked"):
            found.append((version, tags, pythons))
    return tuple(found)


def newest(package: str, asked: SpecifierSet, python: tuple[int, int], system: System) -> Version | None:
    """The newest version that has a wheel there; None if there is none."""
    takes = {*cpython_tags(python, platforms=system.platforms), *compatible_tags(python, platforms=system.platforms)}
    full = Version(f"{python[0]}.{python[1]}.99")
    fits = [v for v, tags, pythons in files(package) if v in asked and full in pythons and tags & takes]
    return max(fits, default=None)


def told(python: tuple[int, int], system: System) -> str:
    """`all`; what has none; or what has only an older one than Linux x86_64 has."""
    asked = needed(python, system)
    here = {name: newest(name, specifier, python, system) for name, specifier in sorted(asked.items())}
    none = [name for name, version in here.items() if version is None]
    if none:
        return f"none of {', '.join(none)}"
    home = {name: newest(name, specifier, python, SYSTEMS[0]) for name, specifier in asked.items()}
    older = [f"{n} {v}" for n, v in here.items() if v is not None and (best := home[n]) is not None and v < best]
    return f"all, of an older release: {', '.join(older)}" if older else "all"


def tables() -> Iterator[str]:
    """One row per system, one column per Python."""
    rows: list[Iterable[str]] = [(s.name, *(told(python, s) for python in PYTHONS)) for s in SYSTEMS]
    yield (
        "Each package is looked at by itself, and of what another package needs the version is asked for that the one "
        "installed here needs: an older numba, for one, needs an older llvmlite.\n"
    )
    yield table(("wheels of every package, system", *(f"Python {a}.{b}" for a, b in PYTHONS)), rows)


MEASUREMENT = Measurement("platforms", "Where it installs without a compiler", tables)

if __name__ == "__main__":
    no_arguments(MEASUREMENT)
