"""Sizes in which stock is sold, mm: what a builder finds at a merchant's. All from memory of the standards named.

Standards list more sizes than a merchant keeps; those here are the usual ones, so that the next size is one to be had.
"""

from __future__ import annotations

from trundle.steel.bolts import THREADS

LEAVES_MM = (2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0, 11.0, 12.0, 14.0, 16.0)
"""Thickness of hot rolled spring flats (EN 10092-1; below 5 mm cold rolled strip, EN 10132)."""

LEAF_WIDTHS_MM = (20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0, 65.0, 70.0, 75.0, 80.0, 90.0, 100.0)
"""Width of the same (EN 10092-1)."""

ROUNDS_MM = (5.0, 6.0, 7.0, 8.0, 9.0, 10.0, 11.0, 12.0, 13.0, 14.0, 15.0, 16.0, 17.0, 18.0, 19.0, 20.0, 22.0, 24.0,
             25.0, 26.0, 28.0, 30.0, 32.0, 35.0, 38.0, 40.0, 45.0, 50.0, 60.0)  # fmt: skip
"""Diameter of round bars (EN 10060 hot rolled, EN 10278 bright)."""

BRIGHT_MM = tuple(sorted({*ROUNDS_MM, *(0.5 * k for k in range(10, 41))}))
"""The same with the half millimetres up to 20 in which bright bar is sold (EN 10278)."""

WIRES_MM = (2.0, 2.25, 2.5, 2.8, 3.0, 3.2, 3.6, 4.0, 4.5, 5.0, 5.6, 6.0, 6.5, 7.0, 8.0, 9.0, 10.0, 11.0, 12.0, 13.0,
            14.0, 16.0, 18.0, 20.0)  # fmt: skip
"""Diameter of spring wire and bar for coils (EN 10270 up to 17 mm)."""

SIDES_MM = (15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0, 70.0, 80.0, 90.0, 100.0, 120.0)
"""Side of square tube (EN 10219-2, EN 10305-5), and of flats standing on edge (EN 10058)."""

WALLS_MM = (2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0)
"""Wall of square tube (EN 10219-2) and thickness of flats (EN 10058)."""

SQUARE_TUBES_MM = {
    15.0: (1.5, 2.0), 20.0: (1.5, 2.0, 2.5), 25.0: (1.5, 2.0, 2.5, 3.0), 30.0: (2.0, 2.5, 3.0, 4.0),
    35.0: (2.0, 2.5, 3.0, 4.0), 40.0: (2.0, 2.5, 3.0, 4.0, 5.0), 45.0: (2.0, 2.5, 3.0, 4.0, 5.0),
    50.0: (2.0, 2.5, 3.0, 4.0, 5.0, 6.0), 60.0: (2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0), 70.0: (3.0, 4.0, 5.0, 6.0, 8.0),
    80.0: (3.0, 4.0, 5.0, 6.0, 8.0), 90.0: (3.0, 4.0, 5.0, 6.0, 8.0), 100.0: (3.0, 4.0, 5.0, 6.0, 8.0, 10.0),
    120.0: (4.0, 5.0, 6.0, 8.0, 10.0),
}  # fmt: skip
"""Square tube: walls by side (EN 10219-2, EN 10305-5)."""

ROUND_TUBES_MM = {
    12.0: (1.0, 1.5, 2.0), 14.0: (1.0, 1.5, 2.0, 2.5), 15.0: (1.5, 2.0, 2.5), 16.0: (1.5, 2.0, 2.5, 3.0),
    18.0: (1.5, 2.0, 2.5, 3.0), 20.0: (1.5, 2.0, 2.5, 3.0, 4.0), 22.0: (1.5, 2.0, 2.5, 3.0, 4.0),
    25.0: (2.0, 2.5, 3.0, 4.0, 5.0), 28.0: (2.0, 2.5, 3.0, 4.0, 5.0), 30.0: (2.0, 2.5, 3.0, 4.0, 5.0, 6.0),
    32.0: (2.0, 2.5, 3.0, 4.0, 5.0, 6.0), 35.0: (2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0),
    38.0: (2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0), 40.0: (2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0),
    42.0: (2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0), 45.0: (2.5, 3.0, 4.0, 5.0, 6.0, 8.0),
    50.0: (2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0), 60.0: (3.0, 4.0, 5.0, 6.0, 8.0, 10.0),
    70.0: (3.0, 4.0, 5.0, 6.0, 8.0, 10.0),
}  # fmt: skip
"""Seamless precision tube, round: walls by outside diameter (EN 10305-1)."""

PLATES_MM = (1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0)
"""Thickness of sheet and plate (EN 10131, EN 10029)."""

WHEEL_RADII_MM = (25.0, 30.0, 37.5, 40.0, 50.0, 62.5, 70.0, 75.0, 80.0, 85.0, 90.0, 100.0, 112.5, 125.0, 140.0, 150.0,
                  160.0, 180.0, 200.0, 250.0)  # fmt: skip
"""Half the diameter of rubber tyred wheels as sold for trolleys and rollers (no standard)."""

DAMPERS_N_S_PER_MM = (0.1, 0.2, 0.3, 0.5, 0.8, 1.2, 2.0, 3.0, 5.0, 8.0, 12.0, 20.0)
"""Damping in steps of about 1.6, as the next size of a damper or of its oil gives (preferred numbers R5, ISO 3)."""

BOLT_GRADES = ("unmarked", "4.6", "5.6", "8.8", "10.9", "12.9")
"""Property classes, each stronger than the one before (ISO 898-1)."""

INCH_GRADES = ("grade 5", "grade 8")
"""The same of inch bolts (SAE J429)."""

PLATE_STEELS = ("unknown mild steel", "S235", "S275", "S355")
"""Structural steels, each stronger than the one before (EN 10025-2)."""

SPRING_STEELS = ("unknown scrap", "51CrV4")
"""From a leaf that nobody knows to a new one to a standard (EN 10089)."""

METRIC = tuple(name for name in THREADS if name.startswith("M"))
INCH = tuple(name for name in THREADS if name.startswith("UNC"))
"""Threads by size (ISO 261, ASME B1.1)."""
