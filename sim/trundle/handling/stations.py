"""A vehicle as it stands on level ground, as turning and tipping see it from above."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from trundle.engine.standing import Standing
from trundle.handling.slipping import Slipping, slipping
from trundle.model.arrays import SIDES, Floats
from trundle.spec.vehicle import Vehicle
from trundle.spec.wheel import Wheel
from trundle.strength.limbs import Instants
from trundle.units import MM


@dataclass(frozen=True)
class Stations:
    """One side's wheel stations from front to rear, the hull's tail at 0.

    x_m: place along the hull [m]; load_N: what one side's wheels of a station press on the ground with, the whole
    weight shared out [N]; each_N: load of one wheel [N]; wheel: of which kind; weight_N: of the
    whole vehicle; drag: what rolling takes, as a share of the weight; length_m: between the outer axles, gauge_m:
    between the middles of both sides; None: not given.
    """

    name: tuple[str, ...]
    x_m: Floats
    load_N: Floats
    each_N: Floats
    wheel: tuple[Wheel, ...]
    weight_N: float
    drag: float
    gauge_m: float | None
    vehicle: Vehicle = field(repr=False)

    @property
    def length_m(self) -> float:
        """Between the outer axles [m]."""
        return float(np.ptp(self.x_m))

    @cached_property
    def slipping(self) -> Slipping | None:
        """Its tightest turn with slipping tracks at a friction of 1: the moment goes with the friction, the slip with
        none. None: the gauge is not given."""
        return None if self.gauge_m is None else slipping(1.0, self.x_m, self.load_N, self.gauge_m)

    @property
    def rubber(self) -> bool:
        """Whether it stands on rubber, and not on bare steel links."""
        return on_rubber(self.vehicle)

    @property
    def leans(self) -> bool:
        """Whether a guide tooth has one wheel of each pair take the whole side force."""
        track = self.vehicle.track
        return track is not None and track.tooth_mm > 0.0


def on_rubber(vehicle: Vehicle) -> bool:
    """Whether it stands on rubber, and not on bare steel links."""
    track = vehicle.track
    return track is None or track.pad_mm is None or track.pad_mm > 0.0


def stations(at: Standing) -> Stations:
    """Of a vehicle that stands on level ground."""
    assembly = at.assembly
    vehicle, count = assembly.vehicle, len(assembly.wheel)
    loads = np.array(at.rings.load[:count], dtype=np.float64)
    kinds = [vehicle.wheel[k] for k in assembly.wheel_kind]
    wheels = np.array(assembly.per_station, dtype=np.float64)
    # What the track carries between its wheels is theirs.
    whole = assembly.weight_N / float(loads.sum())
    if vehicle.track is not None:
        drag = vehicle.track.rolling_drag
    else:
        drag = float(np.sum(loads * np.array([k.drag for k in kinds])) / loads.sum())
    gauge = vehicle.hull.gauge_mm
    return Stations(
        name=assembly.wheel,
        x_m=np.array(at.rings.x[:count], dtype=np.float64),
        load_N=loads * whole / SIDES,
        each_N=loads / wheels,
        wheel=tuple(kinds),
        weight_N=assembly.weight_N,
        drag=drag,
        gauge_m=None if gauge is None else gauge * MM,
        vehicle=vehicle,
    )


def pushed_sideways(at: Standing, found: Stations, side: float) -> Instants:
    """One instant: as it stands, each station pushed sideways with `side` times its load."""
    assembly = at.assembly
    one = np.ones(1)
    loads: Mapping[str, float] = dict(zip(found.name, found.load_N, strict=True))
    angles = {j: at.q[3 + k] * one for k, j in enumerate(assembly.joint)}
    return Instants(
        time_s=0.0 * one,
        pitch_rad=at.q[2] * one,
        angle_rad=angles,
        force_N={n: (0.0 * one, load * one) for n, load in loads.items()},
        at_m={n: x * one for n, x in zip(found.name, found.x_m, strict=True)},
        side_N={n: side * load * one for n, load in loads.items()},
        one_wheel=found.leans,
    )
