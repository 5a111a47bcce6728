"""The track and what it runs on."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, ClassVar

from pydantic import Field, model_validator

from trundle.fields.base import LengthMm, PlacedError, Spec
from trundle.fields.sketch import Around, Sketch
from trundle.fields.step import By, Kept, Times
from trundle.spec.track_drawing import pitch_radius_mm, track_sketches
from trundle.spec.track_ends import EndWheel, Idler, Roller, Sprocket
from trundle.steel.rubber import HARDNESS_RANGE

LEAST_LINKS, MOST_LINKS = 10, 1_000
"""Links that a track may have."""

MOST_ROLLERS = 10
"""Return rollers that it may have; the model keeps room for as many (model.arrays)."""


class Track(Spec):
    """One side's track, the other is alike. Give `links` with `pitch_mm`; how it is set: sag_mm or tension_N; how it
    stretches: stretch_N or link_steel_mm2.

    Also called: crawler track, caterpillar track, tread, belt, chain, rubber track.
    """

    EXAMPLE: ClassVar[str] = """links = 70
pitch_mm = 60
mass_kg_per_m = 4
thickness_mm = 15
pad_mm = 8
width_mm = 150
tooth_mm = 35
tooth_flank_deg = 75
link_steel_mm2 = 120
sag_mm = 10
tension_limit_N = 6000

[sprocket]
end = "front"
at_mm = [1640, 90]
teeth = 10

[idler]
at_mm = [-140, 80]
radius_mm = 80
tensioner = { rate_N_per_mm = 20, preload_N = 0, travel_mm = 30 }

[[roller]]
at_mm = [750, 190]
radius_mm = 30
"""

    links: Annotated[int, Field(ge=LEAST_LINKS, le=MOST_LINKS), Kept("follows from where its ends are")]
    """How many links the closed track has; of a rubber track its guide teeth, counted once round.

    Usual: 60 to 100.
    Measure: count them.
    If wrong: the track is too long or too short, which is refused, or the idler has to go elsewhere.
    Also called: shoes, track shoes, track plates, pads.
    """

    pitch_mm: Annotated[LengthMm, Kept("comes with the track")]
    """From the middle of one pin to the next, mm; of a rubber track from guide tooth to guide tooth.

    Usual: 40 to 70 mm.
    Measure: over ten links pulled straight, divided by ten.
    If wrong: half a millimetre is 40 mm on the whole loop: it seems not to fit.
    Also called: link length, pin spacing, track pitch.
    """

    mass_kg_per_m: Annotated[float, Field(ge=0.05, le=200), Kept("comes with the track")]
    """One track, kg per metre of its length.

    Usual: 2 to 8 kg/m.
    Measure: one track on a bathroom scale, over links x pitch in metres.
    If wrong: sag and pull do not belong together; blows of the ramps and what the motor drags along are wrong.
    Also called: track weight, linear density.
    """

    thickness_mm: Annotated[float, Field(ge=1, le=200), Kept("comes with the track")]
    """From the face the wheels run on to the face on the ground, mm, without the guide tooth.

    Usual: 10 to 25 mm.
    Measure: calliper beside the tooth.
    If wrong: the hull stands too high or too low by as much.
    Also called: track height, tread depth, grouser height.
    """

    width_mm: Annotated[LengthMm, Kept("comes with the track")]
    """Across the vehicle, edge to edge of one track, mm.

    Usual: 100 to 200 mm.
    Measure: tape across a link.
    If wrong: ground pressure and how its ends give are wrong in about the same share.
    Also called: shoe width, track width.
    """

    tooth_mm: Annotated[float, Field(ge=0, le=300), Kept("comes with the track")]
    """Height of the guide tooth above the face the wheels run on, mm; 0: it has none.

    Usual: 20 to 40 mm, at least 10 mm less than the road wheels' radius.
    Measure: depth of a calliper beside the tooth.
    If wrong: too high it strikes the axles; told too low, wheels are said to lose the track when they do not.
    Also called: guide horn, guide lug, centre guide, center guide.
    """

    tooth_flank_deg: Annotated[float, Field(ge=20, le=90), Kept("comes with the track")] | None = None
    """How steep the sides of the guide tooth are that face the tyres, above the face the wheels run on, deg; 90:
    upright. For how near a tyre is to climbing it in a turn. Left out: 70 deg, an estimate.

    Usual: 60 to 80 deg.
    Measure: a sliding bevel or a paper template against the tooth and the face, seen along the track.
    If wrong: told too steep, a track is thrown in a turn that was called safe.
    Also called: flank angle, tooth taper, guide horn angle.
    """

    tooth_friction: Annotated[float, Field(ge=0.05, le=1.5), Kept("a property, not a choice")] = 0.5
    """Friction of a tyre's edge on the guide tooth. The default is an estimate.

    Usual: 0.3 to 0.5 where it is polished or wet, 0.6 to 0.9 rubber on dry rubber.
    Measure: tilt a link with a piece of tyre on its tooth's side until it slides: tangent of the angle.
    If wrong: told too low, a tyre climbs the tooth in a turn that was called safe.
    Also called: friction coefficient, guide friction.
    """

    stretch_N: Annotated[float, Field(ge=1e4, le=1e9), Kept("comes with the track")] | None = None
    """Pull in one track over its relative stretch (EA), N. Left out: from link_steel_mm2.

    Usual: 0.3 to 3 MN for a rubber track with cords, 2 to 10 MN for steel links.
    Measure: pull 2 m of it with 1000 N (crane scale), read how much longer it gets: 1000 x 2000 / mm.
    If wrong: too soft, the pull of the drive takes up its sag; too stiff, pulls peak too high.
    Also called: track stiffness, elongation, EA.
    """

    link_steel_mm2: Annotated[float, Field(ge=1, le=20_000), Kept("comes with the track")] | None = None
    """Steel section that carries the pull in one link, mm2: side plates or cords, all of them together. A quarter of
    its stiffness is taken, for eyes that bend and pins with play. This or stretch_N.

    Usual: 60 to 200 mm2.
    Measure: width x thickness of the plates at their thinnest, beside the pin hole, added up.
    If wrong: as for stretch_N, in proportion.
    Also called: side plates, cross-section, cords.
    """

    sag_mm: Annotated[float, Field(ge=0.5, le=500), By(5)] | None = None
    """How far the longest top span hangs, standing, mm: from the straight line between what it lies on down to its
    lowest point. This or tension_N.

    Usual: 1.5 to 3 % of that span: 10 to 20 mm on 700.
    Measure: straightedge across the two that it hangs between, tape down to the track in the middle.
    If wrong: too little, the track carries part of the hull and rides hard; too much, it jumps teeth or comes off.
    Also called: slack, track sag, droop of the track.
    """

    tension_N: Annotated[float, Field(ge=5, le=200_000), Times(1.5)] | None = None
    """Pull in one track's top run, standing, N. This or sag_mm.

    Usual: 100 to 600 N: mass per metre x 9.81 x span2 / (8 x sag), in metres.
    Measure: crane scale in place of a link; or the sag with a straightedge, and sag_mm in place of this.
    If wrong: as for sag_mm.
    Also called: track tension, pretension, preload.
    """

    tension_limit_N: Annotated[float, Field(ge=1, le=1_000_000), Kept("comes with the track")] | None = None
    """Pull in one track above which a warning is wanted, N. Left out: none.

    Usual: a third of what a link breaks at.
    Measure: the maker's figure; or steel section in mm2 beside the pin hole x 50 N.
    If wrong: it warns too early, or not before a link breaks.
    Also called: breaking load, working load, proof load.
    """

    rolling_drag: Annotated[float, Field(ge=0, le=0.5), Kept("a property, not a choice")] = 0.03
    """What it takes to keep track and road wheels rolling, as a share of the load on the road wheels at any speed. The
    default is an estimate.

    Usual: 0.03 to 0.08.
    Measure: pull the vehicle over level ground, drive uncoupled, with a crane scale: reading over weight.
    If wrong: it climbs and coasts too well, or too badly.
    Also called: rolling resistance, internal friction, track losses.
    """

    end_rate_N_per_mm: Annotated[float, Field(ge=10, le=100_000), Kept("measured")] | None = None
    """How hard sprocket or idler push back when they meet the ground with 1000 N, N per mm, if it has been measured.
    Left out: worked out from the rubber (pad_mm, rim_rubber_mm), axle and bracket, and how the hull rings.

    Usual: left out; 500 to 4000 N/mm where measured.
    Measure: hull blocked, jack and scale under the end: newtons gained for 1 mm more at about 100 kg.
    If wrong: blows on nose and tail seem too hard or too soft.
    Also called: contact stiffness.
    """

    end_loss: Annotated[float, Field(ge=0, le=0.95), Kept("a property of the rubber")] = 0.35
    """Share of the energy that a blow on sprocket or idler at 0.5 m/s loses. The default is an estimate.

    Usual: 0.3 to 0.5.
    Measure: drop an end from 13 mm on stone, film it: 1 less the height that it comes back to over 13.
    If wrong: the end leaves the ground too fast or too slowly; little else.
    Also called: restitution, rebound.
    """

    pad_mm: Annotated[float, Field(ge=0, le=200), By(3, least=0)] | None = None
    """Rubber on its ground face, mm: of a rubber track all of thickness_mm, of bare steel links 0. Left out: all of it
    with stretch_N, half of it with link_steel_mm2, an estimate.

    Usual: 0 to 15 mm.
    Measure: calliper from the tread to the steel.
    If wrong: blows on the track's ends seem too hard (too little) or too soft.
    Also called: track pad, rubber pad, grouser, tread depth.
    """

    rubber_hardness_irhd: Annotated[float, Field(ge=HARDNESS_RANGE[0], le=HARDNESS_RANGE[1]), By(10)] = 65.0
    """Hardness of that rubber and of the rims', IRHD (about Shore A).

    Usual: 60 to 70; a car's tread has 65, an eraser 40, a hard caster 90.
    Measure: a cheap Shore A gauge, or press with a thumb nail beside a piece that is known.
    If wrong: 10 more is 1.5 to 2 times as stiff, and blows on the track's ends are harder.
    Also called: Shore A, durometer, rubber hardness.
    """

    sprocket: Sprocket
    """The toothed wheel that drives it.

    Also called: drive sprocket, drive wheel.
    """

    idler: Idler
    """The plain wheel at the other end.

    Also called: idler wheel.
    """

    roller: Annotated[tuple[Roller, ...], Field(strict=False, max_length=MOST_ROLLERS)] = ()
    """Rollers under the top run, up to ten, in any order: [[track.roller]] for each. Left out: it runs from end to end.

    Also called: return roller, carrier roller, top roller.
    """

    @model_validator(mode="after")
    def _set_once(self) -> Track:
        if (self.sag_mm is None) == (self.tension_N is None):
            raise PlacedError("say how it is set once: sag_mm or tension_N", "tension_N", allowed="one of the two")
        if (self.stretch_N is None) == (self.link_steel_mm2 is None):
            raise PlacedError(
                "say how it stretches once: stretch_N or link_steel_mm2", "stretch_N", allowed="one of the two"
            )
        if self.pad_mm is not None and self.pad_mm > self.thickness_mm:
            raise PlacedError(
                f"pad_mm is {self.pad_mm:g}, more than the whole track (thickness_mm {self.thickness_mm:g})",
                "pad_mm",
                allowed=f"up to {self.thickness_mm:g}",
            )
        return self

    @model_validator(mode="after")
    def _rims_inside(self) -> Track:
        ends = (("sprocket", self.sprocket, self.sprocket_radius_m * 1e3), ("idler", self.idler, self.idler.radius_mm))
        for name, end, radius_mm in ends:
            if end.rim_rubber_mm >= radius_mm:
                raise PlacedError(
                    f"rim_rubber_mm is {end.rim_rubber_mm:g}, but the {name} has a radius of {radius_mm:.0f} mm in all",
                    name,
                    "rim_rubber_mm",
                    allowed=f"below {radius_mm:.0f}",
                )
        return self

    @model_validator(mode="after")
    def _ends_give_once(self) -> Track:
        if self.end_rate_N_per_mm is None:
            return self
        stated = ["pad_mm"] if self.pad_mm is not None else []
        stated += ["rubber_hardness_irhd"] if "rubber_hardness_irhd" in self.model_fields_set else []
        for name, end in (("sprocket", self.sprocket), ("idler", self.idler)):
            stated += [f"{name}.{f}" for f in EndWheel.model_fields if f in end.model_fields_set]
        if stated:
            raise PlacedError(
                f"say how the ends give once: end_rate_N_per_mm, or what they are made of ({', '.join(stated)})",
                "end_rate_N_per_mm",
                allowed="one of the two",
            )
        return self

    @property
    def length_m(self) -> float:
        """Links times pitch, unstretched [m]."""
        return self.links * self.pitch_mm * 1e-3

    @property
    def idler_at_front(self) -> bool:
        """True where the idler is the front end and the sprocket the rear one."""
        return self.sprocket.end == "rear"

    @property
    def idler_sign(self) -> float:
        """Direction along the hull in which the idler is set out, away from the sprocket: 1 forward, -1 back."""
        return 1.0 if self.idler_at_front else -1.0

    @property
    def stiffness_N(self) -> float:
        """EA of one track [N]. From a steel section: a quarter of E A, for bending eyes and pin play."""
        if self.stretch_N is not None:
            return self.stretch_N
        assert self.link_steel_mm2 is not None
        return 0.25 * 206e3 * self.link_steel_mm2

    @property
    def sprocket_radius_m(self) -> float:
        """Pitch radius p / (2 sin(pi/N)) of the sprocket [m] (chain drives, any machine-design handbook)."""
        return pitch_radius_mm(self.pitch_mm, self.sprocket.links_per_tooth, self.sprocket.teeth) * 1e-3

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """The loop in the hull's axes; links close by; one cut through."""
        return track_sketches(self, around)

    def inside(self, around: Around, table: str = "") -> Around:
        """Its links, and on which side its idler is."""
        return replace(
            around,
            track_thickness_mm=self.thickness_mm,
            track_width_mm=self.width_mm,
            pitch_mm=self.pitch_mm,
            sign=self.idler_sign,
        )
