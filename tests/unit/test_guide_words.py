"""Words of the trade, as builders use them, find what they mean. (The words: common practice, no source.)"""

from __future__ import annotations

import pytest

from trundle.guide.find import asked_for, find

WORDS = {
    "trailing arm": "single arm", "leading arm": "single arm", "swing arm": "single arm",
    "suspension arm": "single arm",
    "arm length": "paired arms.arm_mm", "rocker": "walking beam", "equaliser": "walking beam", "suspension": "bogie",
    "undercarriage": "bogie", "bogie wheel": "wheel", "road wheel": "wheel", "tyre": "wheel", "tire": "wheel",
    "tyre pressure": "wheel.rubber_rate_N_per_mm", "twin wheels": "wheel.abreast", "unsprung mass": "wheel.mass_kg",
    "shock": "spring and damper", "shock absorber": "damper", "coilover": "spring and damper",
    "gas spring": "gas strut",
    "coil spring": "coil", "leaf spring": "leaf", "helper leaf": "leaf.graduated_leaves", "blade": "leaf",
    "camber": "leaf across.free_radius_mm", "torsion rod": "torsion bar", "rubber spring": "rubber block",
    "shore a": "rubber block.hardness_irhd", "coil bind": "bought coil.solid_length_mm",
    "number of coils": "coil.coils", "spring rate": "axle rate.rate_N_per_mm",
    "preload": "spring and damper.preload_N", "bump stop": "stops", "bottoming": "stops",
    "droop": "bogie.stops.droop_below_level_deg",
    "wheel travel": "bogie.stops.travel_mm", "rebound damping": "bogie.damper.droop_N_s_per_mm",
    "compression damping": "bogie.damper.bump_N_s_per_mm", "idler wheel": "idler", "track tensioner": "tensioner",
    "drive sprocket": "sprocket", "drive wheel": "sprocket", "return roller": "roller", "top roller": "roller",
    "grouser": "track.pad_mm", "guide horn": "track.tooth_mm", "slack": "track.sag_mm", "track pitch": "track.pitch_mm",
    "track tension": "track.tension_N", "rolling resistance": "track.rolling_drag", "chassis": "hull",
    "centre of gravity": "hull.com_mm", "center of gravity": "hull.com_mm", "cog": "hull.com_mm",
    "weight": "hull.mass_kg", "all-up weight": "hull.all_up_kg", "ground clearance": "hull.belly_mm",
    "skid plate": "hull.belly_sheet_mm", "moment of inertia": "hull.pitch_inertia_kg_m2", "seat": "hull.seat_mm",
    "wheelbase": "paired arms.at_mm", "traction": "drive.grip", "motor torque": "drive.torque_Nm",
    "power": "drive.power_W", "pivot bolt": "pivot", "axle bolt": "axle", "bolt grade": "bogie.build.axle.grade",
    "wall thickness": "bogie.build.arm.thickness_mm", "gusset": "bracket", "fillet weld": "weld",
    "curb": "kerb up", "ditch": "trench", "stairs": "step up", "speed bump": "round-top hump", "washboard": "ripples",
    "cobbles": "rough ground", "hill": "ramp up", "railway sleepers": "sleepers",
}  # fmt: skip


@pytest.mark.parametrize(("word", "place"), WORDS.items())
def test_a_word_of_the_trade_finds_its_place(word: str, place: str) -> None:
    """Among what is found, which is no long list."""
    found = find(word)
    places = {asked_for(t) for t in (*found.topics, *found.beside)}
    for topic, others in found.alike.items():
        places |= {f"{t.name}.{asked_for(topic).rpartition('.')[2]}" for t in others}
    assert place in places
    assert len(found.topics) <= 12
