"""What holds an arm together: its bolts, the weld round its axle's sleeve, the screw that sets its spring."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from trundle.bogies.build_drawing import adjuster_sketches, axle_sketches, pivot_sketches, weld_sketches
from trundle.bogies.section import PlateMm
from trundle.fields.base import LengthMm, Spec
from trundle.fields.sketch import Around, Sketch
from trundle.fields.step import Better, By, Kept, Sizes
from trundle.fields.stock import GradeName, ThreadName
from trundle.steel.fasteners import running_bore_mm
from trundle.steel.sizes import BOLT_GRADES, INCH, INCH_GRADES, METRIC

GapMm = Annotated[float, Field(ge=0, le=200)]
"""A gap, mm."""


class AxleBolt(Spec):
    """The bolt that the road wheels of one station turn on.

    Also called: axle, stub axle, wheel bolt, spindle.
    """

    EXAMPLE: ClassVar[str] = """thread = "M14"
grade = "8.8"
held = "between wheels"
wheels_apart_mm = 44
tooth_width_mm = 30
"""

    thread: Annotated[ThreadName, Sizes((METRIC, INCH))]
    """Its size: a coarse thread, "M12" or "UNC 1/2".

    Usual: M12 to M16 (UNC 1/2 to 5/8).
    Measure: calliper on the plain shank; a thread gauge or a nut tells metric from inch.
    If wrong: bending stress goes with the cube of the diameter: a size less is 1.5 times the stress.
    Also called: bolt size, bolt diameter.
    """

    grade: Annotated[GradeName, Better((BOLT_GRADES, INCH_GRADES))]
    """Its property class, as stamped on the head: "8.8"; of inch bolts "grade 5" (three strokes), "grade 8" (six).

    Usual: 8.8.
    Measure: read the head; one without a mark is "unmarked", as weak as 4.6.
    If wrong: its margin is wrong in the ratio of the yields (8.8 over 4.6: 2.7).
    Also called: bolt grade, strength class, property class.
    """

    held: Literal["between wheels", "one side", "both sides"]
    """between wheels: the arm in the middle, a wheel on each side. one side: all wheels on one side of the arm. both
    sides: a fork round the wheels.

    If wrong: the bolt is bent by several times more, or less, than is told.
    Also called: cantilever, overhung, fork, double shear, single shear.
    """

    wheels_apart_mm: Annotated[GapMm, Kept("the guide tooth passes there")] = 0.0
    """Clear gap between the two wheels of a pair, from tread to tread, where the guide tooth passes, mm.

    Usual: the tooth's width and 8 to 16 mm.
    Measure: calliper between the tyres.
    If wrong: too little, the tooth climbs the tyres; too much, the axle bolt is bent more.
    Also called: wheel spacing, tooth clearance.
    """

    side_gap_mm: Annotated[GapMm, Kept("follows from what it joins")] = 2.0
    """Washer between arm and nearest hub, along the bolt ("one side", "both sides"), mm.

    Usual: 1.5 to 4 mm.
    Measure: calliper on the washers, or feeler gauge.
    If wrong: the bolt sticks out, and bends, by as much more or less.
    Also called: spacer, washer thickness.
    """

    tooth_width_mm: Annotated[PlateMm, Kept("comes with the track")] | None = None
    """Width of the track's guide tooth at its foot, across the vehicle, mm, for its clearance. Left out: that is not
    checked.

    Usual: 20 to 35 mm.
    Measure: calliper across the tooth.
    If wrong: it is told to clear the tyres where it climbs them.
    Also called: guide horn width, guide lug.
    """

    length_mm: Annotated[LengthMm, Kept("follows from what it joins")] | None = None
    """Length of the bolt that is at hand, from under its head to its end, mm. Left out: the shortest sold that reaches
    through its nut, its plain shank through all that bends it.

    Usual: left out.
    Measure: rule from under the head to the end of the thread.
    If wrong: told longer than it is, the nut does not go on, or the thread lies where the bolt is bent.
    Also called: bolt length, shank length.
    """

    threads_in_bend: bool = False
    """true: threads lie where the bolt is bent (a plain shank there is 1.9 times stronger on 1/2 in).

    If wrong: false where threads are bent, and the bolt breaks at about half of what is told.
    Also called: fully threaded, set screw.
    """

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """Cut through the axle."""
        return axle_sketches(self, around)


class PivotBolt(Spec):
    """The bolt that the arm turns on.

    Also called: pivot pin, hinge bolt, kingpin, clevis pin.
    """

    EXAMPLE: ClassVar[str] = """thread = "M16"
grade = "8.8"
held = "both sides"
sleeve_mm = 46
sleeve_outside_mm = 24
gap_mm = 1
"""

    thread: Annotated[ThreadName, Sizes((METRIC, INCH))]
    """Its size: a coarse thread, "M16" or "UNC 5/8".

    Usual: M14 to M20 (UNC 1/2 to 3/4).
    Measure: calliper on the plain shank; a thread gauge or a nut tells metric from inch.
    If wrong: bending stress goes with the cube of the diameter: a size less is 1.5 times the stress.
    Also called: bolt size, bolt diameter.
    """

    grade: Annotated[GradeName, Better((BOLT_GRADES, INCH_GRADES))]
    """Its property class, as stamped on the head: "8.8"; of inch bolts "grade 5" (three strokes), "grade 8" (six).

    Usual: 8.8.
    Measure: read the head; one without a mark is "unmarked", as weak as 4.6.
    If wrong: its margin is wrong in the ratio of the yields (8.8 over 4.6: 2.7).
    Also called: bolt grade, strength class, property class.
    """

    held: Literal["both sides", "one side"]
    """both sides: between two bracket plates. one side: a stub on one plate.

    If wrong: a stub is bent several times as much as a bolt between two plates.
    Also called: double shear, single shear, clevis, cantilever.
    """

    sleeve_mm: Annotated[PlateMm, By(5)]
    """Length of the arm's pivot sleeve along the bolt, across the vehicle, mm.

    Usual: 40 to 70 mm.
    Measure: calliper over its two faces.
    If wrong: longer bends the bolt more; told too short, its margin looks better than it is.
    Also called: bushing length, boss, pivot tube.
    """

    sleeve_outside_mm: Annotated[PlateMm, Kept("follows from what it joins")] | None = None
    """Outside diameter of that sleeve, mm: the arm's hole is as wide unless pivot_hole_mm says otherwise. Left out: the
    sleeve cannot be drawn, bought or checked, and the arm's hole is taken as wide as the bolt.

    Usual: the bolt and 6 to 12 mm: 22 to 30 mm.
    Measure: calliper across it.
    If wrong: it does not pass the arm's hole, or rattles in it.
    Also called: bush, bushing diameter, boss, pivot tube.
    """

    sleeve_bore_mm: Annotated[PlateMm, Kept("follows from what it joins")] | None = None
    """Bore of that sleeve, mm. Left out: the bolt and 0.3 mm.

    Usual: the bolt and 0.1 to 0.5 mm; more with a plain bush pressed in, whose inside counts.
    Measure: calliper, or the drill or reamer that made it.
    If wrong: the arm wobbles on its bolt, or does not turn.
    Also called: bush, inside diameter, clearance.
    """

    gap_mm: Annotated[GapMm, Kept("follows from what it joins")] = 1.0
    """Washer or play on each side of the sleeve, mm.

    Usual: 0.5 to 2 mm.
    Measure: feeler gauge between sleeve and plate; calliper on the washer.
    If wrong: the bolt is bent by a little more or less.
    Also called: side play, shim, end float.
    """

    length_mm: Annotated[LengthMm, Kept("follows from what it joins")] | None = None
    """Length of the bolt that is at hand, from under its head to its end, mm. Left out: the shortest sold that reaches
    through its nut, its plain shank through all that bends it.

    Usual: left out.
    Measure: rule from under the head to the end of the thread.
    If wrong: told longer than it is, the nut does not go on, or the thread lies where the bolt is bent.
    Also called: bolt length, shank length.
    """

    threads_in_bend: bool = False
    """true: threads lie where the bolt is bent, inside the sleeve or at a plate's face.

    If wrong: false where threads are bent, and the bolt breaks at about half of what is told.
    Also called: fully threaded, set screw.
    """

    @property
    def bore_mm(self) -> float:
        """Bore of the sleeve, as given or as one that turns on this bolt is made [mm]."""
        return self.sleeve_bore_mm if self.sleeve_bore_mm is not None else running_bore_mm(self.thread)

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """Cut through the pivot."""
        return pivot_sketches(self, around)


class AxleWeld(Spec):
    """The weld all round the axle sleeve, where it goes through the arm's side. Left out: it is not checked.

    Also called: fillet weld, weld bead, seam.
    """

    EXAMPLE: ClassVar[str] = "sleeve_mm = 24\nsleeve_length_mm = 50\nthroat_mm = 3\n"

    sleeve_mm: Annotated[PlateMm, Kept("follows from what it joins")]
    """Outside diameter of the sleeve, mm.

    Usual: the axle bolt and 8 to 12 mm: 20 to 28 mm.
    Measure: calliper across it.
    If wrong: the weld's stress in bending goes with the inverse of its square.
    Also called: boss, bush, axle tube.
    """

    sleeve_length_mm: Annotated[PlateMm, Kept("follows from what it joins")] | None = None
    """Length of the sleeve along the bolt, across the vehicle, mm, even about the arm's middle: it sticks out of the
    arm by as much as its weld needs, and the bolt is held to its ends. Left out: as wide as the arm, with no room for a
    weld.

    Usual: the arm's width and 8 to 14 mm; between wheels 1 to 3 mm less than they are apart.
    Measure: calliper over its two faces.
    If wrong: wheels rub on the sleeve, or its weld on the wheels; the bolt is bent more than is told.
    Also called: boss, bush, spacer, axle tube.
    """

    throat_mm: Annotated[PlateMm, By(1)]
    """Throat of the fillet: from its root square to its face (0.7 of its leg), mm.

    Usual: 3 to 4 mm, not more than 0.7 of the thinner wall.
    Measure: leg of the bead by calliper or weld gauge, times 0.7.
    If wrong: given as the leg, the weld seems 1.4 times as strong as it is.
    Also called: weld size, a-dimension, leg.
    """

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """From the side, and cut through."""
        return weld_sketches(self, around)


class Adjuster(Spec):
    """The screw that moves the leaf's seat (or the torsion bar's anchor).

    Also called: preload screw, jacking screw, ride height adjuster.
    """

    EXAMPLE: ClassVar[str] = 'thread = "M12"\ntravel_mm = 15\n'

    thread: Annotated[ThreadName, Kept("only sets the spring")]
    """Its size: a coarse thread, "M12" or "UNC 1/2".

    Usual: M10 to M16.
    Measure: calliper on the thread; a thread gauge tells its pitch.
    If wrong: the sheet tells more or fewer turns than are left.
    Also called: screw size.
    """

    travel_mm: Annotated[LengthMm, Kept("only sets the spring")]
    """How far it can move the seat, from all the way out to all the way in, mm.

    Usual: 10 to 25 mm.
    Measure: calliper at both ends of its thread's reach.
    If wrong: the sheet tells turns that the screw has not.
    Also called: stroke, adjustment range.
    """

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """Cut through its plate."""
        return adjuster_sketches(self)
