"""Conversions at the edge: files and screens speak mm, kg, N and degrees; inside everything is SI."""

import math

G = 9.80665
"""Standard gravity [m/s2] (ISO 80000-3)."""

SIDES = 2.0
"""Left and right stand side by side in the plane."""

MM = 1e-3
"""One millimetre [m]."""

DEG = math.pi / 180.0
"""One degree [rad]."""

N_PER_MM = 1e3
"""One newton per millimetre [N/m]."""

MPA = 1e6
"""One megapascal, N/mm2 [Pa]."""

NM_PER_DEG = 180.0 / math.pi
"""One newton metre per degree [N.m/rad]."""

RPM = math.pi / 30.0
"""One turn a minute [rad/s]."""

MOST_PAD_PIECES = 24
"""Pieces that the law of a stop's pad may have: there is room for so many in the record of a joint."""
