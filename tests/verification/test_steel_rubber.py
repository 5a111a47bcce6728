"""Rubber blocks against Gent & Lindley (1959), Lindley and Gent (1958); digits as printed."""

import math

import pytest

from trundle.errors import InputError
from trundle.steel import rubber

MPA = 1e6


@pytest.mark.parametrize(("hardness", "e0", "k"), [(65, 5.72, 0.54), (75, 9.24, 0.52)])
def test_moduli_by_hardness(hardness, e0, k):
    """Gent & Lindley 1959, as quoted in a public paper: 830 psi and 1340 psi."""
    got = rubber.moduli(hardness)
    assert got[0] == pytest.approx(e0 * MPA)
    assert got[0] == pytest.approx({65: 830, 75: 1340}[hardness] * 6894.757, rel=2e-3)
    assert got[2] == pytest.approx(k)


def test_shear_modulus_is_between_a_fifth_and_a_third_of_e0():
    """Incompressible gum has E0 = 3 G; filled stock up to about 4.3 G (Lindley's table, from memory)."""
    for hardness in range(30, 76, 5):
        e0, g, _ = rubber.moduli(hardness)
        assert 1 / 5 < g / e0 < 1 / 2.9


def test_bonded_disc():
    """Gent & Lindley 1959: D 50, t 20 mm, 65 IRHD: S 0.625, Ec 8.133 MPa, 798.5 N/mm (bulk left out)."""
    e0, _, k = rubber.moduli(65)
    shape = rubber.disc_shape(0.05, 0.02)
    assert shape == pytest.approx(0.625)
    ec = rubber.compression_modulus(e0, k, shape)
    assert ec == pytest.approx(8.133 * MPA, rel=1e-3)
    assert rubber.compression_rate(ec, math.pi / 4 * 0.05**2, 0.02) == pytest.approx(798.5e3, rel=1e-3)
    # With the bulk modulus: 1/E = 1/Ec + 1/B.
    assert 1 / rubber.compression_modulus(e0, k, shape, 1.2e9) == pytest.approx(1 / ec + 1 / 1.2e9)


def test_a_very_long_block_has_the_strips_shape():
    """w l/2t(w + l) tends to w/2t, Lindley's for a strip; a square has the disc's D/4t."""
    assert rubber.block_shape(0.05, 50.0, 0.02) == pytest.approx(0.05 / (2 * 0.02), rel=1e-2)
    assert rubber.block_shape(0.05, 0.05, 0.02) == pytest.approx(rubber.disc_shape(0.05, 0.02))


def test_shear_block():
    """G A/t (any rubber handbook)."""
    assert rubber.shear_rate(1e6, 0.0025, 0.02) == pytest.approx(125e3)


@pytest.mark.parametrize("hardness", [29.0, 76.0, math.inf])
def test_hardness_outside_the_table(hardness):
    with pytest.raises(InputError, match="30 to 75"):
        rubber.moduli(hardness)
