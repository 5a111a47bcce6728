"""Whether every part can be made, bought and put together, and moves without fouling another.

One file per subject; each check yields remarks. `remarks(vehicle)` has them all, `unchecked(vehicle)` what the file
does not say enough about.
"""

from trundle.making.fits.every import CHECKS, remarks
from trundle.making.fits.remark import KINDS, FaultKind, Remark
from trundle.making.fits.unchecked import unchecked

__all__ = ["CHECKS", "KINDS", "FaultKind", "Remark", "remarks", "unchecked"]
