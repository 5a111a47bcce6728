"""Road wheels: rubber-tyred, turning freely on their bearings."""

from __future__ import annotations

from typing import Annotated, ClassVar

from pydantic import Field

from trundle.fields.base import LengthMm, Spec
from trundle.fields.sketch import Around, Sketch
from trundle.fields.step import Along, Kept, Stock, Times
from trundle.spec.wheel_drawing import wheel_sketches
from trundle.steel.sizes import WHEEL_RADII_MM

USUAL_DRAG = 0.015
"""Rolling drag of a rubber tyre on hard ground that nobody has measured, as a share of its load (common practice, no
source)."""


class Wheel(Spec):
    """One road wheel: rubber-tyred, turning freely on its bearing. It carries the vehicle on the track, or on the
    ground where there is none.

    Also called: bogie wheel, road wheel, roadwheel, tyre, tire, roller, caster.
    """

    EXAMPLE: ClassVar[str] = """radius_mm = 90
width_mm = 40
edge_mm = 3
mass_kg = 1.5
abreast = 2
rubber_rate_N_per_mm = 300
rubber_loss = 0.35
"""

    radius_mm: Annotated[LengthMm, Stock(WHEEL_RADII_MM, along=(Along(("mass_kg",), power=2.0),))]
    """Outside radius of the tyre, from the axle's middle to the tread, unloaded, mm.

    Usual: 50 to 160 mm.
    Measure: calliper or tape across the tread, halved.
    If wrong: given as a diameter the vehicle stands one radius too high and arms seem to clear kerbs that they do not.
    Also called: wheel size, half the diameter, tyre radius, rolling radius.
    """

    width_mm: Annotated[LengthMm, Kept("comes with the wheel")] = 50.0
    """Tread width of one wheel, across the vehicle, mm.

    Usual: 30 to 60 mm.
    Measure: calliper across the tread.
    If wrong: axle bolts seem to stick out, and bend, too far or too little.
    Also called: tyre width, tread width.
    """

    hub_width_mm: Annotated[LengthMm, Kept("comes with the wheel")] | None = None
    """Width of its hub (or of its bearing's inner ring), face to face along the axle, even about the tread's middle,
    mm. Left out: as wide as the tread, said where it matters.

    Usual: the tread's width, or 2 to 10 mm more.
    Measure: calliper over the hub's two faces.
    If wrong: washers and the axle bolt come out too long or too short by as much.
    Also called: hub length, boss width, bearing width.
    """

    hub_bore_mm: Annotated[LengthMm, Kept("comes with the wheel")] | None = None
    """Bore of the hub (or of its bearing), mm. Left out: that of the axle bolt.

    Usual: 12, 15, 17 or 20 mm.
    Measure: calliper, or the bearing's number: 6002 has 15, 6003 17, 6004 20.
    If wrong: the wheel does not go on its axle, or sits loose on it.
    Also called: bearing bore, axle hole.
    """

    mass_kg: Annotated[float, Field(ge=0.01, le=200), Kept("what it weighs")]
    """One wheel with its bearing, kg.

    Usual: 0.5 to 3 kg.
    Measure: kitchen scale.
    If wrong: what is unsprung hops at another frequency; blows on arms and axles change.
    Also called: wheel weight, unsprung mass.
    """

    edge_mm: Annotated[float, Field(ge=0, le=100), Kept("comes with the wheel")] | None = None
    """Rounding of the tyre's edge beside the guide tooth, its radius, or how deep its bevel is, mm. For how near it is
    to climbing the tooth in a turn. Left out: 3 mm, an estimate.

    Usual: 1 to 5 mm; a worn edge 5 to 10.
    Measure: radius gauge, or a coin whose edge fits.
    If wrong: told too sharp, it climbs a low tooth in a turn that was called safe.
    Also called: edge radius, shoulder, chamfer, bevel.
    """

    abreast: Annotated[int, Field(ge=1, le=4), Kept("the track wants it so")] = 2
    """Wheels side by side on one axle, on one side of the hull (2 = a pair astride the guide tooth).

    Usual: 2 on a track with a guide tooth in the middle, else 1.
    Measure: count them on one axle of one side.
    If wrong: each wheel is taken to carry half, or twice, of what it does; wheels of the whole are half or twice as
    many.
    Also called: twin wheels, double wheels, dual wheels, wheel pair.
    """

    rubber_rate_N_per_mm: Annotated[float, Field(ge=5, le=50_000), Times(1.5)]
    """How stiff one tyre is at its standing load, N per mm pressed in. Or at rated_load_N.

    Usual: 150 to 500 N/mm solid rubber, 20 to 80 pneumatic.
    Measure: tyre on a bathroom scale, axle pressed down by a vice or a jack under a beam: at the standing load, kg
    gained for 1 mm more, times 9.81. Squeezed across both treads it reads half.
    If wrong: edges are felt too hard or too soft; wheels hop at another frequency.
    Also called: tyre stiffness, tyre pressure, tire rate, rubber stiffness, spring rate of the tyre.
    """

    rated_load_N: Annotated[float, Field(ge=1, le=100_000), Kept("measured")] | None = None
    """Load on one wheel at which rubber_rate_N_per_mm holds, N. Left out: an equal share of the weight.

    Usual: left out; 50 to 500 N.
    Measure: the load in the vice at which the rate was read: kg on the scale x 9.81.
    If wrong: rubber is stiffer the more it carries: a rate read at half the load is too low at the whole.
    Also called: test load, rated load.
    """

    rubber_loss: Annotated[float, Field(ge=0, le=0.95), Kept("a property of the rubber")] = 0.35
    """Share of the energy that a bounce at 0.5 m/s (dropped from 13 mm) loses.

    Usual: 0.2 to 0.5; natural rubber less, polyurethane and butyl more.
    Measure: drop the wheel on stone, phone filming: 1 less the height of its first bounce over that it fell from.
    If wrong: wheels without dampers hop on too long, or too little.
    Also called: rebound, resilience, hysteresis, damping of the tyre.
    """

    spin_inertia_kg_m2: Annotated[float, Field(ge=0, le=100), Kept("what it weighs")] | None = None
    """Its moment of inertia about its axle, kg.m2. Left out: 0.6 m r2, between a disc and a ring.

    Usual: left out; 0.003 to 0.03 kg.m2.
    Measure: hang it flat on two strings of length L, d from the axle on either side, and time one twist to and fro:
    mass x 9.81 x d2 x T2 / (39.5 x L), in metres and seconds.
    If wrong: it speeds up and brakes a little too lazily or too quickly; little else.
    Also called: flywheel effect, rotational inertia.
    """

    rolling_drag: Annotated[float, Field(ge=0, le=0.5), Kept("a property, not a choice")] | None = None
    """Without a track: what it takes to keep it rolling, tyre and bearing, as a share of its load at any speed. Left
    out: 0.015, an estimate (rubber on hard ground has 0.01 to 0.03). With a track, track.rolling_drag is for both.

    Usual: 0.01 to 0.03.
    Measure: pull the vehicle slowly over level ground, motor off, with a luggage scale: reading over weight.
    If wrong: it takes more, or less, push to climb and coasts too far or too short.
    Also called: rolling resistance.
    """

    @property
    def hub_mm(self) -> float:
        """Width of its hub, as given or as wide as its tread [mm]."""
        return self.width_mm if self.hub_width_mm is None else self.hub_width_mm

    @property
    def drag(self) -> float:
        """Rolling drag without a track, as given or estimated, as a share of the load."""
        return USUAL_DRAG if self.rolling_drag is None else self.rolling_drag

    @property
    def spin_kg_m2(self) -> float:
        """Spin inertia, as given or estimated [kg.m2]."""
        if self.spin_inertia_kg_m2 is not None:
            return self.spin_inertia_kg_m2
        return 0.6 * self.mass_kg * (self.radius_mm * 1e-3) ** 2

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """From the side, and cut through with those abreast."""
        return wheel_sketches(self)
