"""Numbers as a builder says them: 4.1 kN, twice, 0.2 s."""

from __future__ import annotations

from collections.abc import Callable, Sequence


def force(newton: float) -> str:
    """`950 N`, `4.1 kN`."""
    return f"{newton:.0f} N" if abs(newton) < 995.0 else f"{newton / 1e3:.1f} kN"


def forces(low: float, high: float) -> str:
    """`610 to 940 N`, `4.1 to 7.0 kN`; one force where both read the same."""
    small, large = force(low), force(high)
    if small == large:
        return small
    return f"{small.removesuffix(' N') if large.endswith(' N') else small.removesuffix(' kN')} to {large}"


def g_range(low: float, high: float) -> str:
    """`17 to 31 g`, `1.2 g`."""

    def one(g: float) -> str:
        return f"{g:.0f}" if g >= 9.95 else f"{g:.1f}"

    return f"{one(low)} g" if one(low) == one(high) else f"{one(low)} to {one(high)} g"


def ranged(middle: float, low: float, high: float, word: Callable[[float], str]) -> str:
    """`4.7 g (3.9 to 5.2)`, `1.1 kN (950 N to 1.3 kN)`; `4.7 g` alone where all three read the same. word: says one."""
    said, small, large = word(middle), word(low), word(high)
    if small == said == large:
        return said
    unit = said.partition(" ")[2]
    if all(one.partition(" ")[2] == unit for one in (small, large)):
        small, large = small.partition(" ")[0], large.partition(" ")[0]
    return f"{said} ({small} to {large})"


def power(watt: float) -> str:
    """`430 W`, `3.4 kW`."""
    return f"{watt:.0f} W" if abs(watt) < 995.0 else f"{watt / 1e3:.1f} kW"


def torque(newton_metre: float) -> str:
    """`79 N·m`, `0.6 N·m`."""
    return f"{newton_metre:.0f} N·m" if abs(newton_metre) >= 9.95 else f"{newton_metre:.1f} N·m"


def seconds(s: float) -> str:
    """`12 s`, `0.8 s`; below a tenth `0.04 s`."""
    if s >= 9.95:
        return f"{s:.0f} s"
    return f"{s:.1f} s" if s >= 0.095 else f"{s:.2f} s"


def speed(m_s: float) -> str:
    """`1.2 m/s`."""
    return f"{m_s:.1f} m/s" if abs(m_s) >= 0.095 else f"{m_s:.2f} m/s"


def millimetres(mm: float) -> str:
    """`31 mm`."""
    return f"{mm:.0f} mm"


def place(at_m: float) -> str:
    """`at 4.02 m`: where on the course."""
    return f"at {at_m:.2f} m"


def counted(count: int, what: str) -> str:
    """`1 run`, `3 runs`."""
    return f"{count} {what}" if count == 1 else f"{count} {what}s"


def times(count: int) -> str:
    """`once`, `twice`, `3 times`."""
    return {1: "once", 2: "twice"}.get(count, f"{count} times")


def some(count: int, one: str, many: str = "") -> str:
    """`1 wheel`, `3 wheels`."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def listed(texts: Sequence[str], most: int) -> str:
    """`the arms bend and the belly strikes`: the first few of some clauses, and how many more there are."""
    named = list(dict.fromkeys(texts))
    more = len(named) - most
    if more <= 0:
        return " and ".join(named)
    return f"{', '.join(named[:most])} and {more} more"


_NUMBERS = frozenset(
    ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve", "once", "twice")
)


def spoken(name: str) -> str:
    """A wheel's or arm's name in a sentence: `front fore` for front.fore, `"five"` in quotes for five, since
    `longest five for 0.7 s` reads as a number."""
    said = name.replace(".", " ")
    return f'"{said}"' if name.partition(".")[0].lower() in _NUMBERS else said


def start(text: str) -> str:
    """The text with its first letter large; the rest as the builder wrote it."""
    return text[:1].upper() + text[1:]
