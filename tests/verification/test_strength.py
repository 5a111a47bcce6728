"""Stress of parts from the force vectors of a run, against hand calculations that know nothing of the code's own.

The vehicle is Teasel's kind: two arms on one bracket, sprung by coils here so that the spring's direction counts. Forces
are read from the record, and all else is written out below, with the formulas of the handbooks:

- statics of an arm on a pivot, held by a spring whose line of action is known (any textbook of statics);
- bending M / W and direct stress N / A, torsion T / Wt, put together by distortion energy (Shigley);
- a pin on one side, F e; a pin between two plates, F (b + 4c + 2a) / 8 (EN 1993-1-8 figure 3.11);
- bearing 1.5 fy d t (EN 1993-1-8 table 3.10); shear of two planes to a plate's edge (handbooks of pin joints, from memory);
- a pair of bolts under a force off their middle: half the force each, and the moment over their distance (Shigley,
  eccentrically loaded joints); 0.6 fub As / 1.25 (EN 1993-1-8 table 3.4).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

import numpy as np
import pandas as pd
import pytest

import trundle
from trundle.model.assembly import Assembly
from trundle.result.result import Result
from trundle.strength.limbs import Instants, limbs
from trundle.strength.margin import PartMargin
from trundle.strength.margins import margins_at, margins_of, missing

G = 9.80665

ARM_M, COIL_M, ANCHOR_M = 0.2, 0.12, (0.09, 0.13)
"""Pivot to axle; to the coil's lower seat; the upper seat from the pivot, towards the axle and up."""

SIDE_M, WALL_M = 0.04, 0.003
"""The arm's square tube."""

WHEEL_KG = 3.0

MADE = """
axle = { thread = "M12", grade = "8.8", held = "one side", side_gap_mm = 2 }
pivot = { thread = "M14", grade = "8.8", held = "both sides", sleeve_mm = 42, gap_mm = 1 }
arm = { kind = "flat", side_mm = 40, thickness_mm = 15, steel = "S355", pivot_from_end_mm = 22, axle_to_end_mm = 24 }
bracket = { plate_mm = 6, length_mm = 150, height_mm = 110, pivots_from_bottom_mm = 26, steel = "S235", \
hull_thread = "M8", hull_grade = "8.8", hull_bolts_apart_mm = 110, hull_bolts_from_top_mm = 18 }
weld = { sleeve_mm = 22, throat_mm = 4 }
"""


def vehicle_text(made: str = MADE) -> str:
    """Four wheels, on arms that point fore and aft from one bracket at either end; no track."""
    bogie = """
[bogie.NAME]
kind = "paired arms"
at_mm = [AT, 0]
pivots_apart_mm = 60
arm_mm = 200
arm_mass_kg = 1.0
wheel = "road"
stops = { bump_deg = -10, droop_deg = 35, pad_rate_N_per_mm = 400 }
damper = { bump_N_s_per_mm = 0.6 }
[bogie.NAME.spring]
kind = "coil"
wire_mm = 8
mean_diameter_mm = 50
active_coils = 8
free_length_mm = 200
on_arm_mm = 120
anchor_mm = [90, 130]
steel = "51CrV4"
"""
    ends = [bogie.replace("NAME", n).replace("AT", str(at)) for n, at in (("front", 1100), ("rear", 300))]
    build = [f"[bogie.{n}.build]{made}" if made else "" for n in ("front", "rear")]
    return f"""
name = "Hand"
[hull]
length_mm = 1400
mass_kg = 160
inertia_kg_m2 = 25
com_mm = [700, 150]
belly_mm = [[0, 0], [1400, 0]]
seat_mm = [650, 300]
[wheel.road]
radius_mm = 130
width_mm = 50
mass_kg = {WHEEL_KG}
abreast = 1
rubber_rate_N_per_mm = 200
[drive]
push_N = 900
speed_m_s = 1.5
brake_N = 900
{ends[0]}
{build[0]}
{ends[1]}
{build[1]}
"""
