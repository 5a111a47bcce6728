"""The order in which a sheet warns."""

from __future__ import annotations

from trundle.papers.notice import Notice, worst_first


def test_what_is_near_its_yield_comes_before_what_sits_low() -> None:
    """Loud ones first; then by what a part has left; what has no margin last."""
    low, near, weak = Notice("it droops"), Notice("a bolt", margin=1.1), Notice("a leaf", margin=1.4)
    breaks = Notice("an axle", True, True, 0.8)
    assert worst_first([low, weak, near, breaks]) == [breaks, near, weak, low]
