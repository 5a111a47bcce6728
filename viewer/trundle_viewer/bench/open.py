"""The bench from the command line: a window, or a picture without one."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import Any

import pygame

from trundle.errors import InputError, Problem
from trundle.result.inputs import VehicleInput, vehicle_input
from trundle.spec.reader import matching_paths
from trundle_viewer.bench.app import Bench
from trundle_viewer.bench.design import Settings
from trundle_viewer.export import LARGEST, check_size, offscreen, save_png
from trundle_viewer.movie import check_writable
from trundle_viewer.tweak import written


def on_the_bench(given: VehicleInput) -> tuple[VehicleInput, Settings]:
    """The vehicle as its file has it, and what is set on top. One that is no vehicle without that is taken with it."""
    if given.path is None or not given.settings:
        return given, {}
    try:
        opened = vehicle_input(given.path)
    except InputError:
        return given, {}
    return opened, _each(written(given.vehicle), given.settings)


def _each(tables: dict[str, Any], settings: Any) -> Settings:
    """Wild cards spelt out, points as pairs."""
    out: Settings = {}
    for path, value in settings.items():
        for at in matching_paths(tables, path):
            name = ".".join(str(part + 1) if isinstance(part, int) else part for part in at)
            out[name] = (value[0], value[1]) if isinstance(value, list) and len(value) == 2 else value
    return out


def open_bench(given: VehicleInput, size: tuple[int, int] | None, theme: str) -> Bench:
    """A window until it is closed; returns what was in it. Raises InputError if there is no display, or the vehicle as
    opened does not stand."""
    opened, settings = on_the_bench(given)
    bench = Bench(opened, settings, size, theme=theme)
    with suppress(KeyboardInterrupt):
        bench.run()
    return bench


def export_bench(given: VehicleInput, out: Path, size: tuple[int, int], theme: str) -> None:
    """Write the bench as a picture, twice as large and shrunk. Raises InputError as `open_bench`, or if the picture
    cannot be written."""
    if out.suffix.lower() != ".png":
        raise InputError(Problem(f'cannot draw a "{out.suffix}" file', field="--frame", allowed=".png"))
    check_writable(out, "--frame")
    size = check_size(size)
    times = 2 if size[0] <= LARGEST[0] // 2 else 1
    opened, settings = on_the_bench(given)
    with offscreen():
        sheet = pygame.Surface((size[0] * times, size[1] * times), depth=32)
        bench = Bench(opened, settings, screen=sheet, theme=theme)
        try:
            bench.settle()
            bench.draw()
        finally:
            bench.rest()
        save_png(pygame.transform.smoothscale(sheet, size) if times > 1 else sheet, out)
