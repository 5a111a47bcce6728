"""What is asked, in which order, and when a question is left out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from trundle.cli.interview.draft import MOTOR, Draft
from trundle.design.answers import Answers, MotorAtHand, TrackAtHand, WheelsAtHand
from trundle.design.stock import STOCKS, CoilAtHand, LeafStrip, RoundBar, StockAtHand
from trundle.fields.base import Spec
from trundle.steel.materials import UNKNOWN_SCRAP, steel_names
from trundle.steel.wire import WIRES

MOST = 24
"""Questions that anyone is asked at most (a test walks every branch)."""


@dataclass(frozen=True)
class Choice:
    """One of several answers. value: as it stands in a file of answers; words: as it is asked."""

    value: str
    words: str


@dataclass(frozen=True)
class Question:
    """path: of the answer; ask: the question; why: what hangs on it; table, field: whose docstring says more; choices:
    of one that is no number; asked: whether it is, after what was answered before; usual: for stock that must have it,
    what is taken where nobody knows."""

    path: str
    ask: str
    why: str
    table: type[Spec]
    field: str
    choices: tuple[Choice, ...] = ()
    asked: Callable[[Draft], bool] = lambda _: True
    usual: object = None
    text: bool = False

    @property
    def whole(self) -> bool:
        """Whether it counts something."""
        return self.field in ("each_side", "abreast")


def _of(
    table: type[Spec], place: str, field: str, ask: str, why: str, asked: Callable[[Draft], bool] = lambda _: True
) -> Question:
    return Question(f"{place}.{field}", ask, why, table, field, asked=asked)


def _known(*paths: str) -> Callable[[Draft], bool]:
    """Only where one of these is known: who has no wheel yet has not measured its tyre."""
    return lambda draft: any(draft.get(p) is not None for p in paths)


_HAS_WHEEL = _known("wheels.diameter_mm")
_HAS_TRACK = _known("track.pitch_mm", "track.width_mm")

USES = (
    Choice("ride-on", "somebody sits on it"),
    Choice("load carrier", "it carries a load"),
    Choice("radio-controlled", "it is driven from afar"),
)

TORQUE, POWER = "torque_Nm", "power_W"
MOTORS = (Choice(TORQUE, "its torque at the sprockets"), Choice(POWER, "its power"))
"""What is known of the motor: not kept as such, but by the answer that follows."""

STOCK_WORDS = {
    "leaf strip": "flat spring strip, or a leaf of an old vehicle",
    "round bar": "round bar of spring steel, to be twisted",
    "coil": "coil springs that can be measured",
    "coil by rate": "coil springs of a known rate",
    "spring and damper": "spring-and-damper units",
    "gas strut": "gas struts",
    "rubber block": "rubber blocks between plates",
}

_STOCK_QUESTIONS: dict[str, tuple[tuple[str, str, str], ...]] = {
    "leaf strip": (
        ("width_mm", "How wide is the strip?", "stiffness goes with it"),
        ("thickness_mm", "How thick is one strip?", "stiffness goes with its third power: calliper, rust off"),
        ("length_mm", "How long is one piece?", "no leaf can be longer"),
        ("steel", "Which steel is it?", "says how far it can be bent before it stays bent"),
    ),
    "round bar": (
        ("diameter_mm", "How thick is the bar?", "stiffness goes with its fourth power: calliper, rust off"),
        ("length_mm", "How long a piece fits across the hull?", "a longer bar is softer and twists further"),
        ("steel", "Which steel is it?", "says how far it can be twisted before it stays twisted"),
    ),
    "coil": (
        ("wire_mm", "How thick is the wire?", "stiffness goes with its fourth power: calliper, paint off"),
        ("outside_mm", "Outside diameter of the coil?", "stiffness falls with its third power"),
        ("coils", "How many turns, without the flat ones at the ends?", "stiffness falls with them"),
        ("free_length_mm", "How long is it with nothing on it?", "the travel comes out of it"),
        ("steel", "Which steel is it?", "says how far it can be pressed before it stays shorter"),
    ),
    "coil by rate": (
        ("rate_N_per_mm", "Its rate?", "N/mm, or with a unit: 130 lbf/in"),
        ("free_length_mm", "How long is it with nothing on it?", "the travel comes out of it"),
        ("solid_length_mm", "How long with all turns touching?", "there the travel ends"),
    ),
    "spring and damper": (
        ("rate_N_per_mm", "Rate of its spring?", "N/mm, or with a unit: 300 lbf/in; it is printed on the coil"),
        ("free_length_mm", "Eye to eye with nothing on it?", "the travel comes out of it"),
        ("solid_length_mm", "Eye to eye pressed in as far as it goes?", "there the travel ends"),
    ),
    "gas strut": (
        ("force_N", "Force printed on the tube?", "it carries the load with this, over its lever"),
        ("stroke_mm", "How far does its rod go in?", "the travel comes out of it"),
        ("extended_length_mm", "Eye to eye with the rod out?", "says where its eyes go"),
    ),
    "rubber block": (
        ("width_mm", "One side of the rubber's face on its plate?", "stiffness goes with the face"),
        ("length_mm", "The other side of that face?", "stiffness goes with the face"),
        ("thickness_mm", "How thick is the rubber between its plates?", "it shears by half of this at most"),
        ("hardness_irhd", "How hard is it, Shore A?", "stiffness goes with it; 60 is usual"),
    ),
}


def _steels(kind: type[StockAtHand]) -> tuple[Choice, ...]:
    """Unknown scrap first; drawn wire only of coils."""
    names = [n for n in steel_names(spring=True) if n != UNKNOWN_SCRAP]
    wires = list(WIRES) if kind is CoilAtHand else []
    words = {UNKNOWN_SCRAP: "unknown scrap: an old spring, not heated red since"}
    return tuple(Choice(n, words.get(n, n)) for n in (UNKNOWN_SCRAP, *wires, *names))


def _of_stock(kind: type[StockAtHand]) -> list[Question]:
    from trundle.design.blank import example_of

    name, usual = kind.kind_name(), example_of(kind)

    def asked(draft: Draft, name: str = name) -> bool:
        return bool(draft.get("stock.kind") == name)

    found = []
    for field, ask, why in _STOCK_QUESTIONS[name]:
        choices = _steels(kind) if field == "steel" else ()
        needed = kind.model_fields[field].is_required()
        found.append(
            Question(
                f"stock.{field}", ask, why, kind, field, choices, asked, usual[field] if needed else None
            )
        )  # fmt: skip
    return found


QUESTIONS: tuple[Question, ...] = (
    Question("name", "What is it called?", "its files are called so", Answers, "name", text=True),
    Question("use", "What is it for?", "says what sits on it, and what is usual", Answers, "use", USES),
    Question("all_up_kg", "What does all of it weigh, with rider or load?", "every spring is sized by it",
             Answers, "all_up_kg"),
    Question("length_mm", "How long may it be over all?", "wheels, arms and track have to go in there",
             Answers, "length_mm"),
    Question("kerb_mm", "How high a kerb should it get up?", "arms, belly and front end are sized by it",
             Answers, "kerb_mm"),
    Question("speed_m_s", "How fast is it driven?", "m/s, or with a unit: 5 km/h; hits grow with it",
             Answers, "speed_m_s"),
    _of(WheelsAtHand, "wheels", "each_side", "How many wheel places along one side?", "a pair abreast counts once"),
    _of(WheelsAtHand, "wheels", "diameter_mm", "Diameter of the road wheels?", "across the tyre, not from its middle"),
    _of(WheelsAtHand, "wheels", "width_mm", "How wide is one tyre?", "the track has to take them", _HAS_WHEEL),
    _of(WheelsAtHand, "wheels", "abreast", "How many side by side on one axle, on one side?",
        "a pair straddles the track's guide tooth"),
    _of(WheelsAtHand, "wheels", "rubber_rate_N_per_mm", "How stiff is one tyre?",
        "bathroom scale and vice; most do not know", _HAS_WHEEL),
    Question("stock.kind", "What do you have to make springs of?", "the springs are made of it, and so the bogies",
             Answers, "stock",
             tuple(Choice(k.kind_name(), STOCK_WORDS[k.kind_name()]) for k in STOCKS)),
    *(q for kind in STOCKS for q in _of_stock(kind)),
    _of(TrackAtHand, "track", "pitch_mm", "How long is one link of the track, pin to pin?",
        "sprocket and loop are counted in links"),
    _of(TrackAtHand, "track", "width_mm", "How wide is the track?", "wheels have to stand on it"),
    _of(TrackAtHand, "track", "thickness_mm", "How thick, from the wheels' face to the ground?",
        "all of it stands higher by it", _HAS_TRACK),
    _of(TrackAtHand, "track", "mass_kg_per_m", "What does a metre of one track weigh?", "it is not carried by springs",
        _HAS_TRACK),
    _of(TrackAtHand, "track", "tooth_mm", "How high is its guide tooth?", "says how far a wheel may lift off it",
        _HAS_TRACK),
    Question(MOTOR, "What is known of the motor?", "says whether it gets up the kerb", Answers, "motor", MOTORS),
    Question("motor.torque_Nm", "How much torque at the sprockets, both together?", "after all gears and chains",
             MotorAtHand, TORQUE, asked=lambda d: d.get(MOTOR) == TORQUE),
    Question("motor.power_W", "How much power?", "W, or with a unit: 2 hp", MotorAtHand, POWER,
             asked=lambda d: d.get(MOTOR) == POWER),
)  # fmt: skip


def question_at(path: str) -> int | None:
    """Place of the question for an answer, or for the table that it is in."""
    for i, q in enumerate(QUESTIONS):
        if q.path == path:
            return i
    below = [i for i, q in enumerate(QUESTIONS) if q.path.startswith(f"{path}.")]
    return below[0] if below else None


__all__ = ["MOST", "QUESTIONS", "Choice", "LeafStrip", "Question", "RoundBar", "question_at"]
