"""What a builder has to know beside the fields: words that stand in no table, or in all of them."""

from __future__ import annotations

from dataclasses import dataclass

from trundle.fields.docs import Doc


@dataclass(frozen=True)
class Word:
    """name: how it is asked for; example: a few lines of a file that show it."""

    name: str
    doc: Doc
    example: str = ""

    @property
    def anchor(self) -> str:
        """Its name in links."""
        return f"word-{self.name.replace(' ', '-')}"


WORDS = (
    Word(
        "tail datum",
        Doc(
            "Where places along the hull begin: its rearmost edge, as a rule. The first number of a point [forward, "
            "up] counts forward from there, mm; the sprocket or idler behind it has a negative one.",
            measure="hang a plumb line from the hull's rearmost edge, mark the floor, and lay the tape along it.",
            if_wrong="everything is off by as much, and nothing looks wrong: take one datum for all of the file.",
            also_called=("datum", "origin", "zero line"),
        ),
    ),
    Word(
        "belly datum",
        Doc(
            "Where heights on the hull begin: the underside of the flat of the belly plate. The second number of a "
            "point [forward, up] counts up from there, mm; what hangs below it has a negative one.",
            measure="straightedge under the belly plate, and up from it.",
            if_wrong="ride height and belly clearance are off by as much.",
            also_called=("height datum",),
        ),
    ),
    Word(
        "units",
        Doc(
            "A number is in the unit that its field's name ends in. With another unit it stands in quotes; a decimal "
            "comma then counts as a point.",
            also_called=(
                "unit",
                "inch",
                "inches",
                "feet",
                "pound",
                "pounds",
                "imperial",
                "decimal comma",
            ),
        ),
        'thickness_mm = "3/16 in"\nmass_kg = "90 lb"\nrate_N_per_mm = "300 lbf/in"\nfree_length_mm = "12,5 cm"',
    ),
    Word(
        "one side",
        Doc(
            "A vehicle is alike on both sides, and a file tells of one: a bogie, a spring and a track in it are one "
            "side's, and so are their masses and rates. The hull's mass, the motor's torque and the brake are of the "
            "whole vehicle.",
            if_wrong="a mass or rate that was taken for both sides counts twice.",
            also_called=("left", "right", "both sides", "other side"),
        ),
    ),
    Word(
        "like",
        Doc(
            "In place of writing all of it again: at the head of a file another vehicle, by its name or by a path from "
            "this file; in a bogie another bogie of the file. What else stands there is changed. A table within is "
            "changed field by field; one with another kind stands in the place of the whole.",
            also_called=("same as", "copy of", "template", "repeat"),
        ),
        '[bogie.rear]\nlike = "front"\nat_mm = [240, 0]',
    ),
)
