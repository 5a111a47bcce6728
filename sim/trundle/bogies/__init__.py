"""Bogie kinds by name. A new kind is one file here and one line in the list of imports below."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trundle.bogies.base import Bogie
from trundle.bogies.paired_arms import PairedArms as PairedArms
from trundle.bogies.single_arm import SingleArm as SingleArm
from trundle.bogies.walking_beam import WalkingBeam as WalkingBeam
from trundle.fields.kind import kinds_in, one_of

KINDS: tuple[type[Bogie], ...] = kinds_in(globals(), Bogie)
"""Every bogie kind imported above."""

if TYPE_CHECKING:
    # Whoever holds one needs to know no more than that it is a bogie.
    BogieKind = Bogie
else:
    BogieKind = one_of(KINDS)

__all__ = ["KINDS", "Bogie", "BogieKind"]
