"""Numbers with a unit, as a builder has them: "3/16 in", "40 lb", "300 lbf/in", "12,5 mm".

A field's own unit is the end of its name (`arm_mm`, `rate_N_per_mm`); a text in its place is converted to that. The
library of units is loaded only where such a text stands.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from typing import TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    from pint import UnitRegistry

DIGITS = 10
"""Figures that a converted number keeps: 2 in are 50.8 mm, and not 50.800000000000004."""

LONGEST = 60
"""Letters of a text that can be a number with a unit."""


class _Own(NamedTuple):
    """A field's unit: as it is written, what it measures, other units that a builder may have it in."""

    unit: str
    what: str
    others: str


_OWN = {
    "Nm_per_A": _Own("Nm/A", "a torque for each ampere", "Nm/A, mNm/A"),
    "Nm_per_deg": _Own("Nm/deg", "a torsional rate", "Nm/deg, Nm/rad, lbf ft/deg"),
    "N_s_per_mm": _Own("N s/mm", "a damping rate", "N s/mm, N s/m, lbf s/in"),
    "N_per_mm3": _Own("N/mm3", "a rate that grows with the square of the travel", "N/mm3, N/m3, lbf/in3"),
    "N_per_mm2": _Own("N/mm2", "a rate that grows with the travel", "N/mm2, N/m2, lbf/in2"),
    "N_per_mm": _Own("N/mm", "a rate", "N/mm, N/m, kgf/mm, lbf/in"),
    "kg_per_m": _Own("kg/m", "a mass for each metre", "kg/m, g/mm, lb/ft"),
    "kg_m2": _Own("kg m2", "a moment of inertia", "kg m2, lb ft2"),
    "m_s2": _Own("m/s2", "an acceleration", "m/s2, ft/s2"),
    "m_s": _Own("m/s", "a speed", "m/s, km/h, mph, ft/s"),
    "mm2": _Own("mm2", "an area", "mm2, cm2, in2"),
    "mm": _Own("mm", "a length", "mm, cm, m, in, ft"),
    "kg": _Own("kg", "a mass", "kg, g, t, lb, oz"),
    "Nm": _Own("Nm", "a torque", "Nm, kgf m, lbf ft, lbf in"),
    "deg": _Own("deg", "an angle", "deg, rad"),
    "Hz": _Own("Hz", "a frequency", "Hz"),
    "GPa": _Own("GPa", "a modulus", "GPa, MPa, Mpsi"),
    "MPa": _Own("MPa", "a stress", "MPa, N/mm2, GPa, ksi, psi"),
    "N": _Own("N", "a force", "N, kN, kgf, lbf"),
    "Wh": _Own("Wh", "an energy", "Wh, kWh, J"),
    "W": _Own("W", "a power", "W, kW, hp, PS"),
    "rpm": _Own("rpm", "a turning speed", "rpm"),
    "ohm": _Own("ohm", "a resistance", "ohm, mohm"),
    "A": _Own("A", "a current", "A, mA"),
    "V": _Own("V", "a voltage", "V"),
    "s": _Own("s", "a time", "s, ms, min"),
    "irhd": _Own("IRHD", "a hardness", "IRHD, Shore A"),
}
"""By the end of a field's name; a longer end stands before a shorter one that it ends in."""

_WORDS = {
    "mm": "mm", "cm": "cm", "m": "m", "km": "km", "µm": "um", "um": "um",
    "in": "inch", "inch": "inch", "inches": "inch", "ft": "foot", "foot": "foot", "feet": "foot", "yd": "yard",
    "thou": "inch/1000", "kg": "kg", "g": "g", "t": "tonne", "lb": "lb", "lbs": "lb", "oz": "oz", "st": "stone",
    "N": "N", "daN": "10*N", "kN": "kN", "kgf": "kgf", "kp": "kgf", "lbf": "lbf", "s": "s", "sec": "s", "ms": "ms",
    "min": "min", "h": "hour", "hr": "hour", "deg": "own_deg", "degree": "own_deg", "degrees": "own_deg",
    "rad": "own_rad", "Hz": "hertz", "W": "W", "kW": "kW", "hp": "horsepower", "PS": "metric_horsepower",
    "mph": "mile/hour", "kph": "km/hour", "kmh": "km/hour", "fps": "foot/s", "Nm": "N*m", "Nmm": "N*mm", "Ncm": "N*cm",
    "kNm": "kN*m", "Pa": "Pa", "MPa": "MPa", "GPa": "GPa", "psi": "psi", "ksi": "1000*psi",
    "Mpsi": "1e6*psi", "Ns": "N*s", "ftlb": "foot*lbf", "ftlbf": "foot*lbf", "lbft": "foot*lbf", "inlb": "inch*lbf",
    "inlbf": "inch*lbf", "lbin": "inch*lbf", "irhd": "irhd", "shorea": "irhd", "mNm": "N*mm", "rpm": "rpm",
    "Wh": "watt_hour", "kWh": "1000*watt_hour", "J": "joule", "kJ": "1000*joule", "A": "ampere", "mA": "ampere/1000",
    "V": "volt", "ohm": "ohm", "mohm": "ohm/1000",
}  # fmt: skip
"""Every word for a unit that is understood, and what the library of units calls it."""

_ANY_CASE = {word.lower(): name for word, name in _WORDS.items()}

_SIGNS = {
    '"': " in ", "″": " in ", "”": " in ", "'": " ft ", "′": " ft ", "’": " ft ", "°": " deg ", "º": " deg ",
    "²": "2 ", "³": "3 ", "μ": "µ", "\N{MULTIPLICATION SIGN}": "*", "·": "*", "⋅": "*", "−": "-",
    "½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8",
}  # fmt: skip
_LIKE = (
    (re.compile(r"(?i)\bshore[ -]?a\b"), "shorea"),
    (re.compile(r"(?i)\birhd\b"), "irhd"),
    (re.compile(r"\bper\b"), "/"),
)

_NUMBER = re.compile(
    r"""\s*(?P<sign>[-+]?)\s*(?:
        (?:(?P<whole>\d{1,6})(?:\s+|\s*-\s*))?(?P<over>\d{1,6})\s*/\s*(?P<under>\d{1,6})(?!\d)
        |(?P<plain>\d{1,12}(?:[.,]\d{0,18})?|[.,]\d{1,18})(?P<power>[eE][-+]?\d{1,2})?(?!\d)
    )\s*(?P<unit>.*)""",
    re.VERBOSE | re.DOTALL,
)
_THOUSANDS = re.compile(r"[1-9]\d{0,2},\d{3}")
_FEET_AND_INCHES = re.compile(r"(?P<feet>\s*\d+\s*(?:ft|foot|feet))\s+(?P<inches>\d.*\S)\s*", re.DOTALL)
_FACTOR = re.compile(r"\s*(?P<sign>[*/.\s-]*)\s*(?P<word>[^\W\d_]+)\s*\^?\s*(?P<power>\d)?")


class QuantityError(ValueError):
    """A text that is no such quantity. text: why; allowed: what would be."""

    def __init__(self, text: str, allowed: str) -> None:
        super().__init__(f"{text} (allowed: {allowed})")
        self.text, self.allowed = text, allowed


def unit_of(field: str) -> str | None:
    """The unit at the end of a field's name, `N/mm` of `rate_N_per_mm`; None if there is none."""
    own = _own(field)
    return None if own is None else own.unit


def without_unit(field: str) -> str:
    """`arm` of `arm_mm`: a field's name without its unit."""
    end = next((end for end in _OWN if field.endswith(f"_{end}")), None)
    return field if end is None else field[: -len(end) - 1]


def number(text: str, field: str) -> float:
    """What `text` says in the unit of the field of that name; without a unit it has the field's own.

    A decimal comma counts as a point. Raises QuantityError where it is no number, or no such quantity, and KeyError if
    the field's name has no unit.
    """
    own = _own(field)
    if own is None:
        raise KeyError(field)
    allowed = f"a number of {own.unit}, or with its unit, as text: {own.others}"
    plain = _in_ascii(text) if len(text) <= LONGEST else ""
    if own.unit == "mm" and (parts := _FEET_AND_INCHES.fullmatch(plain)):
        return number(parts["feet"], field) + number(parts["inches"], field)
    found = _NUMBER.fullmatch(plain)
    if found is None:
        raise QuantityError(f'a number is wanted (it is "{_shown(text)}")', allowed)
    value = _value(found, text)
    unit = found["unit"].strip()
    return value if not unit else float(f"{_converted(value, unit, own, text, allowed):.{DIGITS}g}")


def in_units(value: Any, field: str = "") -> Any:
    """Tables of a file (or a value of `field`) with every quantity that is written as text in its field's own unit.

    Other texts are left as they are, also those that are no quantity: whoever checks the field asks `number` why.
    """
    if isinstance(value, str):
        if _own(field) is None or not value[:1].strip("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"):
            return value
        try:
            return number(value, field)
        except QuantityError:
            return value
    if isinstance(value, Mapping):
        return {k: in_units(v, str(k)) for k, v in value.items()}
    return [in_units(v, field) for v in value] if isinstance(value, (list, tuple)) else value


def why_not(text: str, field: str) -> tuple[str, str] | None:
    """Why `text` is no number of the field of that name, and what is allowed; None if it is one, or has no unit."""
    if _own(field) is None:
        return None
    try:
        number(text, field)
    except QuantityError as e:
        return e.text, e.allowed
    return None


@cache
def _own(field: str) -> _Own | None:
    return next((own for end, own in _OWN.items() if field.endswith(f"_{end}")), None)


def _in_ascii(text: str) -> str:
    for sign, word in _SIGNS.items():
        text = text.replace(sign, word)
    for like, word in _LIKE:
        text = like.sub(word, text)
    return text


def _value(found: re.Match[str], text: str) -> float:
    sign = -1.0 if found["sign"] == "-" else 1.0
    if found["over"] is not None:
        if not int(found["under"]):
            raise QuantityError(f'"{_shown(text)}" divides by zero', "a fraction like 3/16")
        return sign * (int(found["whole"] or 0) + int(found["over"]) / int(found["under"]))
    plain = found["plain"]
    if _THOUSANDS.fullmatch(plain):
        both = f"{plain.replace(',', '.')} or {plain.replace(',', '')}"
        raise QuantityError(f'"{_shown(text)}" can be read two ways, {both}', both)
    return sign * float(plain.replace(",", ".") + (found["power"] or ""))


def _converted(value: float, unit: str, own: _Own, text: str, allowed: str) -> float:
    from pint import DimensionalityError

    units = _units()
    target = units.parse_units(_parsed(own.unit, "lb") or "")
    # Pounds are a force where one is wanted, as in the trade: lb/in, ft lb.
    read = [r for pound in ("lb", "lbf") if (r := _parsed(unit, pound)) is not None]
    if not read:
        raise QuantityError(f'"{unit}" is no unit that is known here (it is "{_shown(text)}")', allowed)
    for name in read:
        try:
            return float((value * units.Quantity(1.0, "1") * units.parse_expression(name)).to(target).magnitude)
        except DimensionalityError:
            continue
    given = units.parse_expression(read[0])
    what = next((o.what for o in _OWN.values() if given.check(units.parse_units(_parsed(o.unit, "lb") or ""))), "")
    hint = f'; a force is written "{_shown(text)}f"' if unit == "kg" and own.unit == "N" else ""
    is_what = f"is {what}" if what else "is something else"
    raise QuantityError(f'"{_shown(text)}" {is_what}; {own.what} is wanted{hint}', allowed)


def _parsed(unit: str, pound: str) -> str | None:
    """The unit in the library's words, None if a word is unknown. pound: what `lb` means."""
    at, below, factors = 0, False, []
    while at < len(unit):
        found = _FACTOR.match(unit, at)
        if found is None:
            return None
        word = _word(found["word"])
        if word is None or found["sign"].count("/") > 1:
            return None
        # N/mm s is meant as N/(mm s) by nobody: only what stands right behind a stroke is below it.
        below = "/" in found["sign"]
        named = word if word != "lb" else pound
        factors.append(f"{'/' if below else '*'}({named})**{found['power'] or 1}")
        at = found.end()
        if unit[at:].strip() == "":
            break
    return "1" + "".join(factors) if factors else None


def _word(word: str) -> str | None:
    return _WORDS.get(word) or _ANY_CASE.get(word.lower())


def _shown(text: str) -> str:
    return text if len(text) <= LONGEST else f"{text[:LONGEST]}..."


@cache
def _units() -> UnitRegistry[Any]:
    """The library, with angles as a quantity of their own: 10 Nm are no 10 Nm/rad, and 5 % no angle."""
    from pint import UnitRegistry

    units: UnitRegistry[Any] = UnitRegistry(cache_folder=None)
    units.define("own_deg = [own_angle]")
    units.define("own_rad = 57.29577951308232 * own_deg")
    units.define("irhd = [own_hardness]")
    return units
