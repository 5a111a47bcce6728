"""Spring kinds by name. A new kind is one file here and one entry in a union below."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from trundle.springs.axle_rate import AxleRate
from trundle.springs.base import Arm, ArmSpring, PairedArms, PairLaw, PairSpring, PivotLaw
from trundle.springs.coil import Coil
from trundle.springs.figures import PairFigures, SpringFigures
from trundle.springs.leaf import Leaf
from trundle.springs.leaf_across import LeafAcross
from trundle.springs.pad import CurvePad, PadKind, RubberPad, TablePad
from trundle.springs.pivot_rate import PivotRate
from trundle.springs.rubber_block import RubberBlock
from trundle.springs.torsion_bar import TorsionBar

ArmSpringKind = Annotated[PivotRate | AxleRate | TorsionBar | Coil | Leaf | RubberBlock, Field(discriminator="kind")]
"""Any spring for one arm, told apart by its `kind`."""

PairSpringKind = LeafAcross
"""Any spring shared by two arms. One kind so far; with a second this becomes a union like the one above."""

SpringKind = Annotated[
    PivotRate | AxleRate | TorsionBar | Coil | Leaf | RubberBlock | LeafAcross,
    Field(discriminator="kind"),
]
"""Any spring. One with a `pair_law` is shared by two arms, one with a `law` works on one."""

__all__ = [
    "Arm",
    "ArmSpring",
    "ArmSpringKind",
    "AxleRate",
    "Coil",
    "CurvePad",
    "Leaf",
    "LeafAcross",
    "PadKind",
    "PairFigures",
    "PairLaw",
    "PairSpring",
    "PairSpringKind",
    "PairedArms",
    "PivotLaw",
    "PivotRate",
    "RubberBlock",
    "RubberPad",
    "SpringFigures",
    "SpringKind",
    "TablePad",
    "TorsionBar",
]
