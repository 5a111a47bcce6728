"""The table of steels and the bend test of an unmarked piece."""

import math
import re

import pytest

from trundle.errors import InputError
from trundle.fields.docs import field_doc
from trundle.springs import Leaf
from trundle.steel import bolts, materials
from trundle.steel.materials import STEELS, steel


def test_every_steel_says_where_it_comes_from_and_is_sane():
    for s in STEELS.values():
        assert s.source
        assert s.condition
        assert 0 < s.yield_Pa < s.tensile_Pa
        assert s.alternating_Pa > 0
        assert s.mean_Pa + s.alternating_Pa < s.yield_Pa
        assert s.static_limit_Pa < s.bump_limit_Pa < s.yield_Pa


@pytest.mark.parametrize(
    ("name", "yield_MPa", "tensile_MPa"),
    [
        ("51CrV4", 1200, 1350),
        ("51CrV4 soft temper", 800, 1000),
        ("52CrMoV4", 1200, 1400),
        ("SUP9", 1080, 1225),
        ("60SiCr7", 1130, 1320),
    ],
)
def test_published_strengths(name, yield_MPa, tensile_MPa):
    """EN 10089 annex and 1.7701, EN 10083-3 +QT, JIS G 4801, DIN 17221; all from memory."""
    s = steel(name)
    assert (s.yield_Pa, s.tensile_Pa) == (yield_MPa * 1e6, tensile_MPa * 1e6)


def test_every_strength_cites_a_standard_or_says_that_it_has_none():
    """By its number, never by a merchant's page; what is taken from memory says so."""
    standard = re.compile(r"\b(EN|ISO|DIN|JIS G|SAE|ASTM) ?[A-Z]?\d+")
    for s in STEELS.values():
        assert not re.search(r"merchant|supplier|maker|page|www|http", s.source)
        assert standard.search(s.source) or s.name in ("5160 annealed", "unknown mild steel"), s.name
        assert "from memory" in s.source or s.name == "unknown mild steel", s.name
    for c in bolts.BOLT_CLASSES.values():
        assert standard.search(c.source) or c.name == "unmarked"
        assert not re.search(r"merchant|supplier|page|www|http", c.source)


def test_unknown_scrap_is_cautious_and_says_what_to_do():
    scrap = steel(materials.UNKNOWN_SCRAP)
    hard = [steel(n) for n in materials.steel_names(spring=True) if n not in (scrap.name, "5160 annealed")]
    assert all(scrap.yield_Pa < s.yield_Pa for s in hard)
    for word in ("load", "deflection", "comes back"):
        assert word in field_doc(Leaf, "steel").measure


def test_names_are_listed_and_near_misses_suggested():
    with pytest.raises(InputError, match=r'did you mean "52CrMoV4"') as e:
        steel("52CrMo4")
    assert "unknown scrap" in e.value.problems[0].allowed
    assert materials.steel_problem("S235") == ""
    assert "known: " in materials.steel_problem("S235", spring=True)
    assert set(materials.steel_names()) == set(STEELS)
    assert set(materials.steel_names(True)).isdisjoint(materials.steel_names(False))


def test_shear_yield():
    """Distortion energy: Y/sqrt 3."""
    assert steel("51CrV4").shear_yield_Pa == pytest.approx(1200e6 / math.sqrt(3))
