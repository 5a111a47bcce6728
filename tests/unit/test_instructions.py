"""What the driver is told on a course: read, refused, driven, drawn and spoken of."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

import trundle
from trundle.cli.course_drawing import draw
from trundle.cli.main import main
from trundle.engine.length import time_limit_s, trip
from trundle.errors import InputError
from trundle.findings import events as ev
from trundle.findings.ending import Ending
from trundle.findings.states import doing_words, motor_share, stands_still
from trundle.spec.course import Course, load_course
from trundle.spec.shipped import find
from trundle.terrain.ground import lay
from trundle.terrain.instructions import Reverse, Stop
from trundle.terrain.slopes import Flat, RampUp
from trundle_viewer.live import LiveRun

FLAT = 'run_up_mm = 2000\n[[obstacle]]\nkind = "flat"\nlength_mm = 3000\ngap_mm = 0\n'
STOP = '[[driver]]\nkind = "stop"\n'
BACK = '[[driver]]\nkind = "reverse"\n'


def call(capsys: pytest.CaptureFixture[str], *args: str, code: int = 0) -> str:
    """What a command prints that ends with this exit code."""
    with pytest.raises(SystemExit) as caught:
        main(list(args))
    assert caught.value.code == code
    return "".join(capsys.readouterr())


REFUSED = {
    STOP + "at_mm = 4000": ":6: driver[1].for_s: this field is missing",
    STOP + "at_mm = 4000\nfor_s = 0": ":9: driver[1].for_s: out of range (it is 0) (allowed: 0.1 or more)",
    STOP + "at_mm = 4000\nfor_s = 1e9": ":9: driver[1].for_s: out of range",
    STOP + "at_mm = nan\nfor_s = 1": ":8: driver[1].at_mm: a finite number is wanted",
    STOP + 'at_mm = "4 kg"\nfor_s = 1': ':8: driver[1].at_mm: "4 kg" is a mass; a length is wanted',
    STOP + "at_mm = -1\nfor_s = 1": ":8: driver[1].at_mm: out of range",
    STOP + "at_mm = 8001\nfor_s = 1": ":8: driver[1].at_mm: 8001 is past the end of the course at 8000",
    STOP + "at_mm = 3000\nfor_s = 1\n" + STOP + "at_mm = 2999\nfor_s = 1": ":12: driver[2].at_mm: 2999 is behind",
    BACK + "at_mm = 4000\nto_mm = 3995": ":9: driver[1].to_mm: 3995 is not 10 mm or more behind at_mm (4000)",
    BACK + "at_mm = 4000\nto_mm = 4200": ":9: driver[1].to_mm: 4200 is not",
    BACK + "at_mm = 4000\nto_mm = -1": ":9: driver[1].to_mm: out of range",
    BACK + "at_mm = 4000\nto_mm = 3000\nspeed_m_s = -0.3": ":10: driver[1].speed_m_s: out of range",
    BACK + "at_mm = 4000\nto_mm = 3000\nspeed_m_s = 0": ":10: driver[1].speed_m_s: out of range",
    BACK + "at_mm = 4000\nto_mm = 3000\nfor_s = 3": ":10: driver[1].for_s: unknown field",
    '[[driver]]\nkind = "stopp"\nat_mm = 1': ':7: driver[1].kind: unknown kind "stopp"; did you mean "stop"?',
    "[[driver]]\nat_mm = 1": ':6: driver[1]: the field "kind" is missing',
    '[driver]\nkind = "stop"': ":6: driver: a list is wanted",
    (STOP + "at_mm = 3000\nfor_s = 1\n") * 501: ": driver: too many entries (there are 501) (allowed: up to 500)",
}


@pytest.mark.parametrize("text", REFUSED, ids=lambda t: repr(t)[-50:])
def test_a_wrong_instruction_is_refused_with_line_and_field(tmp_path: Path, text: str) -> None:
    """One message for one mistake."""
    path = tmp_path / "bad.toml"
    path.write_text(FLAT + text)
    with pytest.raises(InputError) as caught:
        load_course(path)
    (said,) = map(str, caught.value.problems)
    assert REFUSED[text] in said


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (STOP + "at_mm = 7900\nfor_s = 1", ":8: driver[1].at_mm: it never gets to 7900"),
        (
            STOP + "at_mm = 100\nfor_s = 1",
            ":8: driver[1].at_mm: 100 is behind this vehicle: its centre of mass starts at",
        ),
        (BACK + "at_mm = 4000\nto_mm = 100", ":9: driver[1].to_mm: backing up to 100 it would leave the course"),
    ],
)
def test_what_this_vehicle_cannot_do_is_refused(
    tmp_path: Path, text: str, says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Its nose at the course's end before it gets to a stop, its start in front of where it is to back up to."""
    path = tmp_path / "far.toml"
    path.write_text(FLAT + text)
    told = call(capsys, "run", "teasel", str(path), "--out", str(tmp_path / "out"), code=2)
    assert says in told
    assert "(allowed: " in told
    with pytest.raises(InputError, match="driver"):
        trundle.Steps("teasel", path)


def course(*driver: Stop | Reverse, speed: float = 1.0, length: float = 4000.0) -> Course:
    """Flat ground with instructions."""
    flat = Flat(kind="flat", length_mm=length, gap_mm=0.0)
    return Course(run_up_mm=2000, run_out_mm=2000, speed_m_s=speed, obstacle=(flat,), driver=driver)


def test_stops_backs_up_and_goes_on() -> None:
    """To each place within 3 mm, for as long as told, the brake holding; backwards no faster than told; and to the
    end. The verdict and the events say so."""
    run = trundle.run(
        "teasel",
        course(Stop(kind="stop", at_mm=2500, for_s=2), Reverse(kind="reverse", at_mm=4000, to_mm=3000, speed_m_s=0.4)),
    )
    assert run.completed
    t = run.timeline
    waits = run.events[run.events["kind"] == ev.WAIT]
    assert waits["course_mm"].iloc[0] == pytest.approx(2500, abs=3)
    assert waits["duration_s"].iloc[0] == pytest.approx(2.0, abs=0.1)
    held = t[t["drive.brake_holds"] == 1.0]
    assert len(held) * 1e-3 > 1.5
    # Once the hull has stopped rocking on its springs.
    assert np.ptp(held["hull.x_mm"].to_numpy()[-500:]) < 0.5
    (back,) = run.events[run.events["kind"] == ev.BACK].itertuples()
    assert back.course_mm == pytest.approx(4000, abs=3)
    turned = t[t["time_s"] <= back.time_s + back.duration_s + 0.05]
    assert turned["hull.x_mm"].iloc[-1] == pytest.approx(3000, abs=5)
    assert t["drive.running_m_s"].min() == pytest.approx(-0.4, abs=0.02)
    said = str(run.verdict)
    assert "Waited as told once, 2.0 s in all, held by the brake with up to" in said
    assert "Backed up as told once, for" in said
    # The motor drives backwards too, and standing costs nothing.
    assert t["energy.motor_J"].diff().min() >= 0.0
    assert t["energy.motor_J"].iloc[-1] > 0.0


@pytest.mark.parametrize(("brake_N", "says"), [(600, "! RISK: "), (1500, "held by the brake with up to")])
def test_a_brake_that_does_not_hold_is_no_tick(
    tmp_path: Path, brake_N: int, says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """On the 20 degree ramp of hill-start a third of the weight pulls, 1.1 kN: 600 N do not hold that (statics). Told
    are two stops, whatever stands there are before and after it backs up."""
    set_to = ("--set", f"drive.brake_N={brake_N}", "--out", str(tmp_path / "out"))
    told = call(capsys, "run", "teasel", "hill-start", *set_to)
    (line,) = [said for said in told.splitlines() if "Waited as told" in said]
    assert "Waited as told twice, 7.0 s in all" in line
    assert says in line


def test_on_wheels_too() -> None:
    """The same driver without a track."""
    run = trundle.run("barrow", course(Stop(kind="stop", at_mm=2500, for_s=1), length=1000.0), near=1)
    assert run.completed
    (wait,) = run.events[run.events["kind"] == ev.WAIT].itertuples()
    assert (wait.course_mm, wait.duration_s) == (pytest.approx(2500, abs=3), pytest.approx(1.0, abs=0.1))


def test_the_list_goes_on_where_the_vehicle_stands() -> None:
    """A stop where it already is is due at once; after backing up, the places before are met again."""
    run = trundle.run(
        "teasel",
        course(
            Stop(kind="stop", at_mm=0, for_s=0.5),
            Reverse(kind="reverse", at_mm=2500, to_mm=1500, speed_m_s=1.0),
            Stop(kind="stop", at_mm=1500, for_s=0.5),
            Stop(kind="stop", at_mm=2000, for_s=0.5),
            length=1000.0,
        ),
    )
    assert run.completed
    waits = run.events[run.events["kind"] == ev.WAIT]
    assert waits["time_s"].iloc[0] < 0.01
    assert waits["course_mm"].iloc[1:].to_list() == pytest.approx([1500, 2000], abs=5)


def test_state_goes_on_in_the_middle_of_a_stop(tmp_path: Path) -> None:
    """Saved while it waits and gone on with: the same to the last bit."""
    told = course(Stop(kind="stop", at_mm=1500, for_s=1), length=1000.0)
    steps = trundle.Steps("teasel", told)
    while steps.state["driver.held"] == 0.0:
        steps.go(50)
    steps.state.save(tmp_path / "waits.npz")
    after = steps.go(1500)
    other = trundle.Steps("teasel", told, state=tmp_path / "waits.npz").go(1500)
    assert after.equals(other)


def test_time_follows_from_what_is_told() -> None:
    """At the target speeds, on and back, and standing: 8 m at 1 m/s, 2 s, 1 m back at 0.5 and on again."""
    vehicle = trundle.load_vehicle("teasel")
    stop, back = Stop(kind="stop", at_mm=3000, for_s=2), Reverse(kind="reverse", at_mm=5000, to_mm=4000, speed_m_s=0.5)
    told = trip(vehicle, lay(course(stop, back)))
    assert told.moving_s == pytest.approx(8.0 + 1.0 / 0.5 + 1.0)
    assert told.waiting_s == 2.0
    slow = course(speed=0.02)
    assert time_limit_s(vehicle, lay(slow)) > 3.0 * 8.0 / 0.02
    # Long stops are waited for.
    long = course(Stop(kind="stop", at_mm=3000, for_s=3000))
    assert time_limit_s(vehicle, lay(long)) > 3000.0


def test_too_long_a_wait_is_refused_before_it_is_run() -> None:
    """As any run of too many steps."""
    waits = (Stop(kind="stop", at_mm=3000, for_s=3600),) * 3
    with pytest.raises(InputError, match="steps"):
        trundle.run("teasel", course(*waits), near=1)


def test_slow_and_steady_is_not_stalled() -> None:
    """0.02 m/s over 60 mm takes the 3 s in which a faster vehicle would count as stalled; held up, it does stall."""
    short = course(speed=0.02, length=20.0).model_copy(update={"run_up_mm": 1800, "run_out_mm": 200})
    run = trundle.run("teasel", short, near=1)
    assert run.completed
    assert not (run.events["kind"] == ev.STILL).any()
    ramp = RampUp(kind="ramp up", height_mm=1000, slope_deg=20, gap_mm=0)
    hill = Course(run_up_mm=1800, speed_m_s=0.02, obstacle=(ramp,))
    held = trundle.run(trundle.load_vehicle("teasel", {"drive.torque_Nm": 30}), hill, near=1)
    assert held.summary["ended_because"].startswith("stalled")


def test_held_up_while_backing_up_is_a_stall() -> None:
    """Against a kerb behind it that it cannot climb backwards."""
    text = {"kind": "step down", "height_mm": 400, "gap_mm": 0}
    wall = Course.model_validate(
        {
            "run_up_mm": 2500, "run_out_mm": 4000, "speed_m_s": 0.8, "obstacle": [text],
            "driver": [{"kind": "reverse", "at_mm": 4500, "to_mm": 1500, "speed_m_s": 0.05}],
        }
    )  # fmt: skip
    run = trundle.run("wren", wall, near=1)
    assert run.summary["ended_because"] != Ending.COURSE_END
    assert run.summary["ended_because"] != Ending.TIME_UP
    assert run.timeline["drive.target_m_s"].iloc[-1] < 0.0


def test_words_of_a_moment() -> None:
    """Waiting, with or without the brake; backing up; forward says nothing."""
    assert doing_words(0.0, 1.0) == "waits, held by the brake"
    assert doing_words(0.0, 0.0) == "waits"
    assert doing_words(-0.2, 0.0) == "backs up"
    assert doing_words(0.5, 0.0) == ""
    still = stands_still([1.0, 1.0, -1.0, 0.02, 0.02, 0.0], [0.019, 0.03, -0.01, 0.019, 0.003, 0.0])
    assert still.tolist() == [True, False, True, False, True, False]


def test_what_the_brake_holds_is_none_of_the_motor_s() -> None:
    """Forwards, braking, backwards, braking backwards, and held: drives above 0, brakes below, nothing while held."""
    push, target = [9.0, -4.0, -9.0, 4.0, 7.0], [1.0, 1.0, -1.0, -1.0, 0.0]
    assert motor_share(push, target, [0.0, 0.0, 0.0, 0.0, 1.0]).tolist() == [9.0, -4.0, 9.0, -4.0, 0.0]


def test_the_course_s_listing_and_drawing_show_them(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Every instruction in the list; the picture makes room for them."""
    out = tmp_path / "hill.svg"
    said = call(capsys, "course", "hill-start", "--out", str(out))
    assert "1  at 4.600 m: stop, 5 s" in said
    assert "2  at 5.000 m: back up to 4.20 m at 0.2 m/s" in said
    assert "driver" not in call(capsys, "course", "kerb-50", "--out", str(tmp_path / "kerb.svg"))
    bare = lay(load_course(find("courses", "hill-start")).model_copy(update={"driver": ()}))
    before, _ = draw(bare, "Hill start", file_format="svg")
    assert tall(out.read_text()) > tall(before.decode())


def tall(svg: str) -> float:
    """Height of a picture over its width."""
    box = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg)
    assert box is not None
    return float(box[2]) / float(box[1])


def test_a_vehicle_set_down_on_its_way_has_done_what_lay_behind() -> None:
    """The viewer's changed vehicle, set down on the ramp behind the first stop, carries out the others alone."""
    told = load_course(find("courses", "hill-start"))
    vehicle, ground = trundle.load_vehicle("teasel"), lay(told)
    live = LiveRun(vehicle, told, ground, None, 3.9, 0.3)
    assert live.wait_for(1e9, 60.0)
    assert live.film.ended == Ending.COURSE_END
    done = [e.kind for e in live.film.events if e.kind in (ev.WAIT, ev.BACK)]
    assert done == [ev.BACK, ev.WAIT]
