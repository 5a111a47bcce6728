"""Colours, dark and light.

Chosen so that neighbours in meaning differ in lightness as well as hue (they stay apart in greyscale and for
red-green and blue-yellow colour blindness); whatever matters also has a shape or a word of its own.
"""

from __future__ import annotations

from dataclasses import dataclass

from trundle.findings.grades import Grade

Colour = tuple[int, int, int]


@dataclass(frozen=True)
class Palette:
    """Every colour by what it is for."""

    name: str
    sky: Colour
    sky_low: Colour
    panel: Colour
    panel_edge: Colour
    ground: Colour
    ground_deep: Colour
    ground_edge: Colour
    grid: Colour
    text: Colour
    text_dim: Colour
    hull: Colour
    hull_dark: Colour
    hull_edge: Colour
    steel: Colour
    steel_edge: Colour
    tyre: Colour
    tyre_edge: Colour
    rim: Colour
    band: Colour
    band_edge: Colour
    paint: Colour
    spring: Colour
    spring_edge: Colour
    load: Colour
    stop: Colour
    droop: Colour
    off: Colour
    slack: Colour
    ghost: Colour
    mark: Colour
    fine: Colour
    risk: Colour
    failed: Colour
    button: Colour
    button_on: Colour


_SHADES: dict[str, tuple[Colour, Colour]] = {
    # what for: (dark, light)
    "sky": ((20, 25, 33), (246, 245, 241)),
    "sky_low": ((30, 37, 47), (233, 234, 232)),
    "panel": ((26, 31, 40), (252, 251, 248)),
    "panel_edge": ((55, 64, 78), (198, 200, 200)),
    "ground": ((62, 58, 54), (196, 186, 170)),
    "ground_deep": ((44, 42, 41), (214, 207, 195)),
    "ground_edge": ((176, 164, 146), (96, 84, 66)),
    "grid": ((40, 48, 60), (224, 224, 220)),
    "text": ((232, 236, 241), (28, 32, 38)),
    "text_dim": ((152, 163, 177), (96, 104, 114)),
    "hull": ((132, 148, 166), (150, 170, 190)),
    "hull_dark": ((74, 86, 102), (104, 124, 146)),
    "hull_edge": ((196, 208, 220), (50, 64, 80)),
    "steel": ((104, 116, 132), (138, 150, 164)),
    "steel_edge": ((188, 199, 211), (52, 62, 74)),
    "tyre": ((30, 33, 39), (62, 66, 74)),
    "tyre_edge": ((150, 160, 172), (24, 27, 32)),
    "rim": ((112, 124, 140), (176, 186, 198)),
    "band": ((52, 56, 64), (96, 100, 108)),
    "band_edge": ((170, 179, 190), (34, 38, 44)),
    "paint": ((240, 236, 220), (255, 250, 232)),
    "spring": ((84, 196, 186), (14, 138, 128)),
    "spring_edge": ((196, 244, 238), (4, 82, 76)),
    "load": ((245, 184, 65), (196, 116, 0)),
    "stop": ((255, 112, 67), (204, 58, 14)),
    "droop": ((122, 182, 255), (20, 96, 190)),
    "off": ((204, 160, 255), (122, 60, 190)),
    "slack": ((255, 150, 200), (190, 30, 110)),
    "ghost": ((140, 200, 255), (30, 110, 190)),
    "mark": ((255, 224, 120), (150, 100, 0)),
    "fine": ((120, 210, 130), (34, 116, 48)),
    "risk": ((255, 186, 84), (160, 88, 0)),
    "failed": ((255, 128, 118), (179, 38, 30)),
    "button": ((44, 52, 65), (232, 232, 228)),
    "button_on": ((70, 112, 150), (166, 202, 232)),
}

DARK = Palette(name="dark", **{what: shades[0] for what, shades in _SHADES.items()})
LIGHT = Palette(name="light", **{what: shades[1] for what, shades in _SHADES.items()})
PALETTES = {"dark": DARK, "light": LIGHT}


def signs(p: Palette) -> tuple[Colour, ...]:
    """Colours that say something, as against those of a surface."""
    return (
        p.spring,
        p.load,
        p.stop,
        p.droop,
        p.off,
        p.slack,
        p.ghost,
        p.mark,
        p.fine,
        p.risk,
        p.failed,
        p.paint,
        p.text,
    )


def grade_colour(p: Palette, grade: Grade) -> Colour:
    """A grade's colour; its sign or word stands beside it wherever it is used."""
    return (p.fine, p.text_dim, p.risk, p.failed)[grade]


def mix(a: Colour, b: Colour, share: float) -> Colour:
    """`a` with `share` of `b` in it."""
    return (
        round(a[0] + (b[0] - a[0]) * share),
        round(a[1] + (b[1] - a[1]) * share),
        round(a[2] + (b[2] - a[2]) * share),
    )
