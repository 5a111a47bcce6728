"""The table of the timeline's columns: what is logged each step, from where, and what it is called.

A column is one entry in COLUMNS; one that is worked out from others afterwards is one in DERIVED.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from trundle.law.compile import inner
from trundle.law.scratch import WORK
from trundle.law.state import (
    BELLY,
    DAMPER,
    FRICTION,
    SPRING,
    STOP,
    TRACK,
    TYRE,
    TYRE_LOSS,
)
from trundle.model.arrays import SIDES, Floats, Ints
from trundle.units import DEG, MM

RUN, LOOP, ARM, RING = "run", "loop", "arm", "ring"
"""A column of the whole run; of its track (only with one); of each arm or beam; of each ring."""

ENDS = 2
"""Rings of a track behind the road wheels: sprocket and idler."""

WHEEL, SIDE = "wheel", "side"
"""The law has both sides together; the column is one wheel's, or one side's."""


@dataclass(frozen=True)
class Column:
    """One quantity of the timeline.

    of: RUN, LOOP, ARM or RING; quantity: its short name in the raw log; source: where the law has it, a path in WORK
    ("#" stands for the arm's or ring's number); name: the column's, with its unit ("#": the arm's or ring's name);
    factor: from SI to that unit; per: "" or WHEEL or SIDE; on_band: only for road wheels on a track.
    """

    of: str
    quantity: str
    source: str
    name: str
    factor: float = 1.0
    per: str = ""
    on_band: bool = False


def _energy(quantity: str, source: str) -> Column:
    return Column(RUN, f"{quantity}_J", source, f"energy.{quantity}_J")


COLUMNS = (
    Column(RUN, "time", "time_s", "time_s"),
    Column(RUN, "x", "pose.0.x", "hull.x_mm", 1.0 / MM),
    Column(RUN, "y", "pose.0.y", "hull.y_mm", 1.0 / MM),
    Column(RUN, "pitch", "pose.0.angle", "hull.pitch_deg", 1.0 / DEG),
    Column(RUN, "vx", "motion.0.vx", "hull.speed_m_s"),
    Column(RUN, "vy", "motion.0.vy", "hull.rise_m_s"),
    Column(RUN, "pitch_rate", "motion.0.spin", "hull.pitch_rate_deg_s", 1.0 / DEG),
    Column(RUN, "seat_up", "seat_up", "seat.up_m_s2"),
    Column(RUN, "seat_forward", "seat_forward", "seat.forward_m_s2"),
    Column(RUN, "belly_clear", "belly_clear", "belly.clearance_mm", 1.0 / MM),
    Column(RUN, "belly_N", "belly_N", "belly.load_N"),
    Column(RUN, "target", "next.driver.target_m_s", "drive.target_m_s"),
    Column(RUN, "held", "next.driver.held", "drive.brake_holds"),
    Column(RUN, "u", "next.band.speed_m_s", "drive.running_m_s"),
    Column(RUN, "push", "next.band.push_N", "drive.push_N"),
    Column(RUN, "traction", "next.band.traction_N", "drive.traction_N"),
    Column(RUN, "drag", "drag", "drive.drag_N"),
    Column(RUN, "slip", "grip_used", "drive.grip_used"),
    Column(RUN, "slip_speed", "next.band.slip_m_s", "drive.slip_m_s"),
    Column(LOOP, "tight", "next.band.tight_N", "track.tight_N", per=SIDE),
    Column(LOOP, "slack", "next.band.slack_N", "track.slack_N", per=SIDE),
    Column(LOOP, "top", "next.band.top_N", "track.top_N", per=SIDE),
    Column(LOOP, "path", "loop.path", "track.path_mm", 1.0 / MM),
    Column(LOOP, "spare", "loop.spare", "track.spare_mm", 1.0 / MM),
    Column(LOOP, "top_sag", "loop.top_sag", "track.sag_mm", 1.0 / MM),
    Column(LOOP, "span_N", "loop.span_N", "track.span_load_N", per=SIDE),
    Column(LOOP, "idler_shift", "next.band.idler_shift_m", "track.idler_shift_mm", 1.0 / MM),
    Column(ARM, "angle", "joint.#.angle", "arm.#.angle_deg", 1.0 / DEG),
    Column(ARM, "spring", "joint.#.spring", "arm.#.spring_Nm", per=SIDE),
    Column(ARM, "stop", "joint.#.stop", "arm.#.stop_N", per=SIDE),
    Column(ARM, "friction", "joint.#.friction", "arm.#.friction_Nm", per=SIDE),
    Column(RING, "x", "ring.#.x", "#.x_mm", 1.0 / MM),
    Column(RING, "y", "ring.#.y", "#.y_mm", 1.0 / MM),
    Column(RING, "load", "ring.#.load", "#.load_N", per=WHEEL),
    Column(RING, "traction", "ring.#.traction", "#.traction_N", per=WHEEL),
    Column(RING, "push_x", "ring.#.push_x", "#.force_forward_N", per=WHEEL),
    Column(RING, "push_y", "ring.#.push_y", "#.force_up_N", per=WHEEL),
    Column(RING, "slip", "ring.#.slip", "#.slip_m_s"),
    Column(RING, "gap", "ring.#.gap", "#.band_gap_mm", 1.0 / MM, on_band=True),
    _energy("gravity", "next.ledger.gravity_J"),
    _energy("spring", f"next.ledger.kind_J.{SPRING}"),
    _energy("damper", f"next.ledger.kind_J.{DAMPER}"),
    _energy("friction", f"next.ledger.kind_J.{FRICTION}"),
    _energy("stop", f"next.ledger.kind_J.{STOP}"),
    _energy("tyre", f"next.ledger.kind_J.{TYRE}"),
    _energy("tyre_loss", f"next.ledger.kind_J.{TYRE_LOSS}"),
    _energy("belly", f"next.ledger.kind_J.{BELLY}"),
    _energy("drive", f"next.ledger.kind_J.{TRACK}"),
    _energy("motor", "next.ledger.motor_J"),
    _energy("brake", "next.ledger.brake_J"),
    _energy("slip", "next.ledger.slip_J"),
    _energy("drag", "next.ledger.drag_J"),
    _energy("loose", "next.ledger.loose_J"),
    _energy("stored", "stored_J"),
    _energy("moving", "next.ledger.moving_J"),
    _energy("error", "next.ledger.error_J"),
)
"""In the order in which they stand in a row of the raw log; a vehicle without a track has no LOOP columns."""


@dataclass(frozen=True)
class Derived:
    """A column worked out from others: of RUN or LOOP; work takes the columns by name and plain facts (see
    trundle.record.columns.facts)."""

    of: str
    name: str
    work: Callable[[Mapping[str, Floats], Mapping[str, float]], Any]


DERIVED = (
    Derived(RUN, "sprocket.torque_Nm", lambda at, fact: at["drive.push_N"] * fact["drive_radius_m"]),
    Derived(RUN, "sprocket.power_W", lambda at, fact: at["drive.push_N"] * at["drive.running_m_s"]),
)


@dataclass(frozen=True)
class Entry:
    """One column of one vehicle's raw log: number is the arm's or ring's, 0 otherwise."""

    column: Column
    number: int


def entries(joints: int, rings: int, tracked: bool) -> Iterator[Entry]:
    """All columns of a vehicle's raw log, in order: arm by arm and ring by ring."""
    counts = {RUN: 1, LOOP: int(tracked), ARM: joints, RING: rings}
    at = 0
    while at < len(COLUMNS):
        of = COLUMNS[at].of
        block = [c for c in COLUMNS[at:] if c.of == of]
        block = block[: next((k for k, c in enumerate(COLUMNS[at:]) if c.of != of), len(block))]
        for number in range(counts[of]):
            for column in block:
                if column.on_band and not (tracked and number < rings - ENDS):
                    continue
                yield Entry(column, number)
        at += len(block)


def place_in(kind: np.dtype[Any], path: str) -> int:
    """Where a number of a record type stands, counted in numbers of 8 bytes. Raises KeyError if there is none.

    path: field names and numbers of nested arrays, dot by dot: "joint.3.angle".
    """
    at = 0
    for part in path.split("."):
        if kind.subdtype is not None:
            base, shape = kind.subdtype
            number = int(part)
            if not 0 <= number < shape[0]:
                raise KeyError(path)
            kind = np.dtype((base, shape[1:])) if len(shape) > 1 else base
            at += number * kind.itemsize
        else:
            if kind.fields is None:
                raise KeyError(path)
            kind, offset = kind.fields[part][:2]
            at += offset
    if kind != np.dtype("f8"):
        raise KeyError(f"{path} is not a single number")
    return at // 8


def picks(joints: int, rings: int, tracked: bool) -> Ints:
    """Where in the flat scratch each column of a row stands, for `write_row`."""
    found = [place_in(WORK, e.column.source.replace("#", str(e.number))) for e in entries(joints, rings, tracked)]
    return np.array(found, dtype=np.int64)


@inner
def write_row(flat, picked, row):
    """Copy the columns of one step into `row`: SI, both sides together."""
    for k in range(picked.shape[0]):
        row[k] = flat[picked[k]]


__all__ = ["COLUMNS", "DERIVED", "SIDES", "Column", "Derived", "Entry", "entries", "picks", "place_in", "write_row"]
