"""Runs a few variants once more for their time series, to lay them over each other."""

from __future__ import annotations
