"""A finished run, as Python has it."""

from __future__ import annotations

from trundle.findings.record import Record


class Result(Record):
    """What `trundle.run` gives."""
