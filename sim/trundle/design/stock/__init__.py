"""What a builder has to make springs of: each kind of stock says itself what can be made of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trundle.design.stock.base import Place, StockAtHand, Try
from trundle.design.stock.bought_unit import GasStrutAtHand, SpringAndDamper
from trundle.design.stock.coil import CoilAtHand, CoilByRate
from trundle.design.stock.leaf_strip import LeafStrip
from trundle.design.stock.round_bar import RoundBar
from trundle.design.stock.rubber import RubberAtHand
from trundle.fields.kind import one_of

STOCKS: tuple[type[StockAtHand], ...] = (
    LeafStrip, RoundBar, CoilAtHand, CoilByRate, SpringAndDamper, GasStrutAtHand, RubberAtHand,
)  # fmt: skip
"""Every kind of stock, what most builders have first."""

if TYPE_CHECKING:
    StockKind = LeafStrip | RoundBar | CoilAtHand | CoilByRate | SpringAndDamper | GasStrutAtHand | RubberAtHand
else:
    StockKind = one_of(STOCKS)

__all__ = [
    "STOCKS", "CoilAtHand", "CoilByRate", "GasStrutAtHand", "LeafStrip", "Place", "RoundBar", "RubberAtHand",
    "SpringAndDamper", "StockAtHand", "StockKind", "Try",
]  # fmt: skip
