"""Whether every part can be made and put together: none of the shipped vehicles has a fault."""

from __future__ import annotations

import pytest

from trundle.making.fits import remarks
from trundle.result.inputs import vehicle_input
from trundle.spec.shipped import names


@pytest.mark.parametrize("name", names("vehicles"))
def test_what_is_shipped_can_be_built(name: str) -> None:
    """No remark at all."""
    assert [str(r) for r in remarks(vehicle_input(name).vehicle)] == []
