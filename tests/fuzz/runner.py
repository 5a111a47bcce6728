"""Runs one input in processes of its own, so that a hang, a crash or a flood of memory is an outcome like any other."""

from __future__ import annotations

import contextlib
import gc
import io
import os
import resource
import signal
import subprocess
import sys
import time
from pathlib import Path

from tests.fuzz.case import Case, Place
from tests.fuzz.judge import Ended

LIMIT_S = 60.0
"""Nothing may take longer [s]."""

MOST_BYTES = 6 << 30
"""Address space, to protect the computer: what a command really fills is judged apart."""


def run(case: Case, place: Place) -> Ended:
    """The command, until it ends or its time is up."""
    start = time.monotonic()
    said = {n: (place.root.parent / f"{place.root.name}.{n}") for n in ("out", "err")}
    fresh = _process(case, place, said) if case.process else None
    child = fresh.pid if fresh else _forked(case, place, said)
    code, memory_MB, stopped = None, 0.0, False
    while code is None:
        code, memory_MB = _reap(child)
        spent = time.monotonic() - start
        if code is None and case.interrupt_s is not None and not stopped and spent > case.interrupt_s:
            os.kill(child, signal.SIGINT)
            stopped = True
        if code is None and spent > LIMIT_S:
            with contextlib.suppress(ProcessLookupError):
                os.killpg(child, signal.SIGKILL)
            os.waitpid(child, 0)
            code = -signal.SIGKILL
        if fresh:
            fresh.returncode = code  # it is waited for here: subprocess must not
        time.sleep(0.002 if spent < 0.5 else 0.02)
    with contextlib.suppress(ProcessLookupError, PermissionError):
        os.killpg(child, signal.SIGKILL)  # workers that outlive their study
    out, err = (said[n].read_bytes().decode("utf-8", "replace") for n in ("out", "err"))
    for file in said.values():
        file.unlink()
    return Ended(code, out, err, time.monotonic() - start, memory_MB)


def _reap(child: int) -> tuple[int | None, float]:
    pid, status, used = os.wait4(child, os.WNOHANG)
    return (None, 0.0) if pid == 0 else (os.waitstatus_to_exitcode(status), used.ru_maxrss / 1024)


def _environment(case: Case, place: Place) -> dict[str, str]:
    changed = {"HOME": str(place.home), "TMPDIR": str(place.temporary), "SDL_VIDEODRIVER": "dummy", **case.env}
    return {k: v for k, v in {**os.environ, **changed}.items() if v is not None}


def _process(case: Case, place: Place, said: dict[str, Path]) -> subprocess.Popen[bytes]:
    """A fresh Python."""

    def shut() -> None:
        for stream in case.closed:
            os.close(stream)

    with said["out"].open("wb") as out, said["err"].open("wb") as err:
        return subprocess.Popen(
            [sys.executable, "-m", "trundle.cli.main", *case.args], cwd=place.work, env=_environment(case, place),
            stdin=subprocess.DEVNULL, stdout=out, stderr=err, preexec_fn=shut, start_new_session=True,
        )  # fmt: skip


def _forked(case: Case, place: Place, said: dict[str, Path]) -> int:
    """A copy of this process, in which all is loaded and compiled."""
    for file in said.values():
        file.touch()
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # until the command is reached, a Ctrl-C is not the command's
    child = os.fork()
    if child == 0:
        code = 99
        try:
            code = _command(case, place, said)
        except BaseException:
            import traceback

            traceback.print_exc()
        finally:
            with contextlib.suppress(BaseException):
                sys.stdout.flush()
                sys.stderr.flush()
            os._exit(code)
    return child


def _command(case: Case, place: Place, said: dict[str, Path]) -> int:
    os.setsid()
    resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
    os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
    for number, name in ((1, "out"), (2, "err")):
        os.dup2(os.open(said[name], os.O_WRONLY | os.O_CREAT | os.O_TRUNC), number)
    sys.stdin, sys.stdout, sys.stderr = (
        io.TextIOWrapper(os.fdopen(n, "rb" if n == 0 else "wb", closefd=False), encoding="utf-8", line_buffering=n == 2)
        for n in range(3)
    )
    os.chdir(place.work)
    os.environ.clear()
    os.environ.update(_environment(case, place))
    import tempfile

    tempfile.tempdir = None
    from trundle.cli.main import main

    try:
        signal.signal(signal.SIGINT, signal.default_int_handler)
    except KeyboardInterrupt:  # it came a moment too early to be the command's
        return 130
    try:
        main(list(case.args))
    except SystemExit as e:
        signal.signal(signal.SIGINT, signal.SIG_IGN)
        return e.code if isinstance(e.code, int) else 98
    raise AssertionError("main returned instead of exiting")


def load_all() -> None:
    """Loads and compiles all that commands use, once for all forked copies. Starts no threads: a fork has none.

    Names that are not used here are imported to be loaded.
    """
    import trundle
    from tests.fuzz import shelf
    from trundle.cli import baseline, compare, course, limits, main, new, run, sheet, watch  # noqa: F401
    from trundle.cli.course_drawing import draw  # noqa: F401
    from trundle.report import page  # noqa: F401
    from trundle.spec.course import Course
    from trundle.study import baseline as kept  # noqa: F401
    from trundle.study import find, report, tolerance  # noqa: F401
    from trundle_viewer import export  # noqa: F401

    for name in ("wren", "barrow", "otter"):
        trundle.run(name, Course.model_validate({**shelf.SHORT, "run_up_mm": shelf.RUN_UP_MM[name]}), near=1)
        str(trundle.sheet(name))
    gc.collect()
    gc.freeze()  # a collection in a copy would touch, and so copy, every page of memory
