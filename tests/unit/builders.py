"""Builders with what they have and want, as they would write it down: 60 to 500 kg, every kind of stock, two of them
in inches and pounds."""

from __future__ import annotations

BUILDERS: dict[str, str] = {
    "carrier on coils, in inches": """
name = "Pack Rat"
use = "radio-controlled"
all_up_kg = "132 lb"
length_mm = "54 in"
kerb_mm = "2 in"
[wheels]
diameter_mm = "5 1/2 in"
[stock]
kind = "coil"
wire_mm = "5/32 in"
outside_mm = "1 7/16 in"
coils = 8
free_length_mm = "4 in"
steel = "EN 10270-1 SM"
""",
    "ride-on on new strip": """
name = "Vole"
use = "ride-on"
all_up_kg = 180
length_mm = 1900
[stock]
kind = "leaf strip"
width_mm = 40
thickness_mm = 3
length_mm = 600
steel = "51CrV4"
""",
    "ride-on on bars": """
name = "Stoat"
use = "ride-on"
all_up_kg = 250
kerb_mm = 120
[wheels]
each_side = 5
diameter_mm = 200
width_mm = 45
[track]
pitch_mm = 60
width_mm = 160
[stock]
kind = "round bar"
diameter_mm = 13
length_mm = 900
steel = "51CrV4"
[motor]
torque_Nm = 260
""",
    "load carrier on bought units, in inches": """
name = "Polecat"
use = "load carrier"
all_up_kg = "485 lb"
load_kg = "150 lb"
length_mm = "6 ft 6 in"
kerb_mm = "4 in"
[stock]
kind = "spring and damper"
rate_N_per_mm = "230 lbf/in"
free_length_mm = "10 1/4 in"
solid_length_mm = "7 1/2 in"
[motor]
power_W = "2 hp"
""",
    "ride-on on a scrap car leaf": """
name = "Hob"
use = "ride-on"
empty_kg = 225
load_kg = 75
length_mm = 2300
[stock]
kind = "leaf strip"
width_mm = 50
thickness_mm = 5
""",
    "half a tonne on rubber": """
name = "Ox"
use = "load carrier"
all_up_kg = 500
[stock]
kind = "rubber block"
width_mm = 60
length_mm = 80
thickness_mm = 50
""",
    "ride-on on gas struts": """
name = "Heron"
all_up_kg = 200
[stock]
kind = "gas strut"
force_N = 500
stroke_mm = 100
extended_length_mm = 265
""",
    "ride-on on catalogue coils": """
name = "Newt"
all_up_kg = 200
[stock]
kind = "coil by rate"
rate_N_per_mm = 24
free_length_mm = 180
solid_length_mm = 80
""",
    "knows nothing": "",
}
"""Name to file of answers."""
