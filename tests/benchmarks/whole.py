"""What a person waits for: commands from the shell, studies on one worker and two, frames of the viewer."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
import pandas as pd

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(0, str(Path(__file__).parents[1] / "study"))

from scene import seconds, side_by_side

ROOT = Path(__file__).parents[2]

PYTHON = "python: nothing but itself"
HELP = "trundle --help"
RUN = "trundle run teasel kerb-50"
COMMANDS = {
    PYTHON: [sys.executable, "-c", "pass"],
    HELP: [sys.executable, "-c", "from trundle.cli.main import main; main(['--help'])"],
    RUN: [sys.executable, "-c", "from trundle.cli.main import main; main(['run', 'teasel', 'kerb-50'])"],
}
STUDY_RUNS = 40


def command(name: str, repeat: int = 3) -> float:
    """A command in a process and a folder of its own, kernels compiled before [s]."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    with tempfile.TemporaryDirectory() as folder:

        def go() -> None:
            subprocess.run(COMMANDS[name], cwd=folder, env=environment, capture_output=True, check=True)

        return seconds(go, repeat)


def studies_and_alone(runs: int = STUDY_RUNS) -> tuple[float, float, float]:
    """Teasel over a kerb: by `trundle.run` in this process, in a study of one worker, and of two; seconds a run.

    Workers have started and loaded all before; the three take turns.
    """
    import trundle
    from trundle.spec.shipped import find
    from trundle.study.api import How, run_frame
    from trundle.study.local import LocalEngine

    course = trundle.load_course(find("courses", "kerb-100"))

    def alone() -> None:
        trundle.run(trundle.load_vehicle(find("vehicles", "teasel")), course, near=1)

    def study(engine: LocalEngine) -> None:
        frame = pd.DataFrame({"hull.mass_kg": np.linspace(265.0, 270.0, runs)})
        run_frame(frame, "teasel", ["kerb-100"], how=How(engine=engine))

    one, two = LocalEngine(1), LocalEngine(2)
    try:
        took = side_by_side([alone, lambda: study(one), lambda: study(two)], rounds=3)
    finally:
        one.close()
        two.close()
    return took[0], took[1] / runs, took[2] / runs


def overhead(variants: int = 400) -> float:
    """Seconds a variant costs that takes no time itself: sending, journal, table; two workers [s]."""
    from study_fakes import how, make_plan

    from trundle.study.local import LocalEngine
    from trundle.study.runs import run_cases

    engine = LocalEngine(2)
    try:
        with tempfile.TemporaryDirectory() as folder:
            place = Path(folder)
            run_cases(make_plan(place, range(1000, 1008)), how(place / "warm", engine=engine))
            plan = make_plan(place, range(1000, 1000 + variants // 3))
            begin = time.perf_counter()
            run_cases(plan, how(place / "out", engine=engine))
            return (time.perf_counter() - begin) / len(plan)
    finally:
        engine.close()


def frame(size: tuple[int, int]) -> float:
    """Median time of a frame of the viewer, 8 stations, 80 links, all layers, drawn by the processor [s]."""
    os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")
    from test_viewer_bench import eight_stations

    from trundle_viewer.app import App
    from trundle_viewer.layers import listed

    film = eight_stations()
    app = App(film, size=size)
    app.view.layers, app.view.playing = {layer.name for layer in listed()}, False
    took = []
    for t in np.arange(1.5, min(film.end_s, 4.0), 1.0 / 60.0):
        app.view.time_s = float(t)
        begin = time.perf_counter()
        app.tick(0.0)
        took.append(time.perf_counter() - begin)
    app.close()
    return float(np.median(took))
