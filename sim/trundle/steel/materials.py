"""Steels by name: strength, condition and where the figure comes from.

Strengths are minimums for stock that conforms to its standard. Salvage does not: it has its own entry.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from trundle.errors import InputError, Problem, did_you_mean
from trundle.units import MPA

E_STEEL = 206e9
"""Young's modulus of every steel here [Pa]. Grades lie within 200 to 210 GPa: a rate test cannot tell them
apart, only a yield test can."""

G_STEEL = 79.3e9
"""Shear modulus of every steel here [Pa]."""

UNKNOWN_SCRAP = "unknown scrap"

STRONGER = 1.25
"""How many times its least yield a piece of a known steel may well have: standards give a spring steel's tensile
strength a range of a quarter (EN 10089: 1350 to 1650 MPa of 51CrV4, from memory)."""


@dataclass(frozen=True)
class Steel:
    """One steel in one condition.

    yield_Pa: Rp0.2 or yield, minimum [Pa]. tensile_Pa: Rm, minimum [Pa].
    mean_Pa, alternating_Pa: a rough endurance guide in bending, un-peened: this mean with this
        alternating stress [Pa]. From general practice, not from a test of the piece.
    elongation: at break, fraction; used for the caution on cold bending.
    most_yield_Pa: yield that a piece of it may well have, for forces that must get over it; None: STRONGER times the
        least [Pa]. E_Pa: Young's modulus [Pa].
    source: where the strengths come from; "from memory" where no page was at hand.
    """

    name: str
    condition: str
    yield_Pa: float
    tensile_Pa: float
    mean_Pa: float
    alternating_Pa: float
    elongation: float
    source: str
    spring: bool = True
    most_yield_Pa: float | None = None
    E_Pa: float = E_STEEL

    @property
    def strongest_Pa(self) -> float:
        """Yield that a piece of it may well have [Pa]."""
        return STRONGER * self.yield_Pa if self.most_yield_Pa is None else self.most_yield_Pa

    @property
    def static_limit_Pa(self) -> float:
        """Working stress for a load that stands, 0.6 of yield [Pa] (first-design rule, from memory)."""
        return 0.6 * self.yield_Pa

    @property
    def bump_limit_Pa(self) -> float:
        """Working stress at full bump, 0.75 of yield [Pa] (road-leaf rule, from memory)."""
        return 0.75 * self.yield_Pa

    @property
    def shear_yield_Pa(self) -> float:
        """Yield in shear, yield / sqrt(3) [Pa] (distortion-energy rule)."""
        return float(self.yield_Pa / 3**0.5)


def _guide_share(rp_MPa: float) -> float:
    # 500 +- 250 MPa is the middle of the un-peened range at about 1200 MPa yield; softer stock gets less in
    # proportion, harder stock gets no more (surface and decarburising govern there).
    return min(1.0, rp_MPa / 1200.0)


def _spring(
    name: str,
    condition: str,
    rp_MPa: float,
    rm_MPa: float,
    elongation: float,
    source: str,
    most_MPa: float | None = None,
) -> Steel:
    share = _guide_share(rp_MPa)
    return Steel(
        name,
        condition,
        rp_MPa * MPA,
        rm_MPa * MPA,
        500e6 * share,
        250e6 * share,
        elongation,
        source,
        True,
        None if most_MPa is None else most_MPa * MPA,
    )


def _plain(name: str, condition: str, re_MPa: float, rm_MPa: float, elongation: float, source: str) -> Steel:
    # Rotating-bend endurance of about 0.5 Rm, times 0.7 for an as-rolled surface, no mean (from memory).
    return Steel(name, condition, re_MPa * MPA, rm_MPa * MPA, 0.0, 0.35 * rm_MPa * MPA, elongation, source, False)


_STEELS = (
    _spring(
        "51CrV4",
        "hardened and tempered, small spring section",
        1200,
        1350,
        0.06,
        "EN 10089 annex, from memory",
    ),
    _spring(
        "51CrV4 soft temper",
        "hardened and tempered for general engineering (+QT), 16 to 40 mm",
        800,
        1000,
        0.10,
        "EN 10083-3 table for +QT, 1.8159, from memory",
    ),
    _spring("52CrMoV4", "hardened and tempered, 16 mm flat", 1200, 1400, 0.06, "EN 10089, 1.7701, from memory"),
    _spring(
        "SUP9",
        "55Cr3, oil 830-860 C, tempered 460-510 C",
        1080,
        1225,
        0.09,
        "JIS G 4801, from memory",
    ),
    _spring(
        "5160",
        "SAE, hardened and tempered, HRC 41-49",
        1080,
        1225,
        0.09,
        "SAE J404 and ASTM A29 give only what is in it: taken as SUP9 of JIS G 4801, the near equivalent, from memory",
    ),
    _spring("60SiCr7", "hardened and tempered", 1130, 1320, 0.06, "DIN 17221 1.0961, from memory"),
    _spring(
        "5160 annealed",
        "as often sold, or after being heated red: not a spring until hardened and tempered",
        280,
        720,
        0.17,
        "from memory",
    ),
    _spring(
        UNKNOWN_SCRAP,
        "was a spring, not heated red since",
        700,
        900,
        0.06,
        "as the softest tempered 51CrV4 that a standard has (EN 10083-3, +QT, 40 to 100 mm, from memory)",
        1600,
    ),
    _plain("S235", "EN 10025-2 / EN 10219-1, up to 16 mm", 235, 360, 0.24, "EN 10025-2, from memory"),
    _plain("S275", "EN 10025-2 / EN 10219-1, up to 16 mm", 275, 410, 0.20, "EN 10025-2, from memory"),
    _plain("S355", "EN 10025-2 / EN 10219-1, up to 16 mm", 355, 470, 0.20, "EN 10025-2, from memory"),
    _plain("unknown mild steel", "unmarked bar, flat or tube", 200, 330, 0.20, "below S235 on purpose"),
)

STEELS: Mapping[str, Steel] = {s.name: s for s in _STEELS}
"""Every steel by name, spring steels first."""


def steel_names(spring: bool | None = None) -> tuple[str, ...]:
    """Known names; only spring steels (True), only structural ones (False), or all (None)."""
    return tuple(s.name for s in _STEELS if spring is None or s.spring == spring)


def steel_problem(name: str, spring: bool | None = None) -> str:
    """Empty if the name is known, else one line naming the nearest and all known ones."""
    known = steel_names(spring)
    if name in known:
        return ""
    return f'unknown steel "{name}"{did_you_mean(name, known)} (known: {", ".join(known)})'


def steel(name: str) -> Steel:
    """The steel called `name`. Raises InputError listing the known names."""
    if name not in STEELS:
        raise InputError(Problem(f'unknown steel "{name}"{did_you_mean(name, STEELS)}', "steel", ", ".join(STEELS)))
    return STEELS[name]


def tested(of: Steel, yield_MPa: float | None, modulus_GPa: float | None) -> Steel:
    """The steel with what its builder found by bending it: from which load on it stayed bent, how stiff it is.

    Its tensile strength is taken a tenth above its yield, where the named steel's is lower; endurance in proportion, as
    of the steels above.
    """
    if modulus_GPa is not None:
        of = replace(of, E_Pa=modulus_GPa * 1e9)
    if yield_MPa is None:
        return of
    share = _guide_share(yield_MPa)
    return replace(
        of,
        name=f"{of.name}, tested",
        yield_Pa=yield_MPa * MPA,
        tensile_Pa=max(of.tensile_Pa, 1.1 * yield_MPa * MPA),
        mean_Pa=500e6 * share,
        alternating_Pa=250e6 * share,
        source="yield_MPa in the vehicle's file",
        most_yield_Pa=None,
    )
