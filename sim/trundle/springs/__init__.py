"""Spring kinds by name. A new kind is one file here and one line in the list of imports below."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trundle.fields.kind import kinds_in, one_of
from trundle.springs.axle_rate import AxleRate as AxleRate
from trundle.springs.base import ArmSpring, PairSpring, Spring
from trundle.springs.bought_coil import BoughtCoil as BoughtCoil
from trundle.springs.coil import Coil as Coil
from trundle.springs.damper_unit import DamperUnit as DamperUnit
from trundle.springs.figures import PairFigures, SpringFigures
from trundle.springs.gas_strut import GasStrut as GasStrut
from trundle.springs.laws import Arm, Mount, PairLaw, PivotLaw
from trundle.springs.leaf import Leaf as Leaf
from trundle.springs.leaf_across import LeafAcross as LeafAcross
from trundle.springs.pad import CurvePad, PadKind, RubberPad, TablePad
from trundle.springs.pivot_rate import PivotRate as PivotRate
from trundle.springs.rubber_block import RubberBlock as RubberBlock
from trundle.springs.torsion_bar import TorsionBar as TorsionBar

KINDS: tuple[type[Spring], ...] = kinds_in(globals(), Spring)
"""Every spring kind imported above."""

if TYPE_CHECKING:
    # Whoever holds one needs to know no more than that it is a spring.
    SpringKind = Spring
    ArmSpringKind = ArmSpring
else:
    SpringKind = one_of(KINDS)
    ArmSpringKind = one_of(kinds_in(globals(), ArmSpring))

__all__ = [
    "KINDS",
    "Arm",
    "ArmSpring",
    "ArmSpringKind",
    "CurvePad",
    "Mount",
    "PadKind",
    "PairFigures",
    "PairLaw",
    "PairSpring",
    "PivotLaw",
    "RubberPad",
    "Spring",
    "SpringFigures",
    "SpringKind",
    "TablePad",
]
