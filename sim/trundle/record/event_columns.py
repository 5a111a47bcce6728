"""Columns of events.csv that whoever reads or writes it must know. Apart, since it loads nothing."""

from __future__ import annotations

WORDS = ("kind", "where", "obstacle")
"""Columns in words; all others are numbers, empty where the event has none."""

NEEDED = ("kind", "where", "time_s", "duration_s")
"""Columns without which nothing can be told of an event."""
