"""It does not get over, or what was worked out is not to be trusted."""

from __future__ import annotations

from collections.abc import Iterator

from trundle.findings.finding import Finding, Harm
from trundle.findings.grades import Grade
from trundle.findings.passage import stopped_on
from trundle.findings.serious.case import Case
from trundle.findings.states import LEDGER_LIMIT, ledger_closes
from trundle.spec.pull import pull_of


def ends_early(case: Case) -> Iterator[Finding]:
    """This run, or some of those near it, did not reach the end."""
    near = case.near
    sure = near.trusted if near is not None else ()
    if near is not None and case.summary["completed"] and near.over < len(sure):
        missed = [near.ended[k] for k in sure if k not in near.passed]
        why = ", ".join(dict.fromkeys(missed))
        count = f"{len(missed)} of {len(sure)} runs"
        text = f"In {count} close by it does not get over: {why}. This is at the edge of what it can do."
        grade = Grade.FAIL if 2 * len(missed) >= len(sure) else Grade.RISK
        yield Finding(Harm.STOPS, grade, len(missed) / len(sure), f"in {count} it does not get over", text, "completed")
    if case.summary["completed"]:
        return
    where = stopped_on(case.summary, case.passed)
    over = f" In {near.over} of {len(sure)} runs close by it gets over." if near is not None and near.over else ""
    place = f" on {where.title}" if where is not None else ""
    text = f"It stays{place}: {case.summary['ended_because']}.{over}"
    yield Finding(
        Harm.STOPS, Grade.FAIL, 2.0, "it does not get over", text, "completed", "", float(case.summary["duration_s"]),
        float(case.summary["distance_m"]), _why(case),
    )  # fmt: skip


def _why(case: Case) -> tuple[str, ...]:
    """What it had in use at the end: grip, motor, and how it lay."""
    last = max(len(case.column("time_s")) - max(round(0.5 / case.dt_s), 1), 0)
    causes = [f"grip {100.0 * float(abs(case.column('drive.grip_used')[last:]).mean()):.0f} % used"]
    pull = pull_of(case.assembly.vehicle)
    most = float(pull.both_N(abs(case.column("drive.running_m_s")[last:])).mean())
    if most > 0.0:
        push = float(abs(case.column("drive.push_N")[last:]).mean())
        causes.append(f"motor at {100.0 * push / most:.0f} % of its torque")
    pitch = float(case.column("hull.pitch_deg")[-1])
    if abs(pitch) >= 1.0:
        causes.append(f"lies {abs(pitch):.0f}° nose {'up' if pitch > 0.0 else 'down'}")
    if float(case.column("belly.load_N")[last:].max()) > 0.05 * case.assembly.weight_N:
        causes.append("the belly carries part of it")
    return tuple(causes)


def ledger(case: Case) -> Iterator[Finding]:
    """The energy account does not close: of this run, or of runs close by."""
    error = float(case.summary["energy_error"])
    if not ledger_closes(error):
        text = (
            f"Not to be trusted: {100.0 * error:.2g} % of the energy is unaccounted for (limit "
            f"{100.0 * LEDGER_LIMIT:g} %). Try a finer --dt-ms."
        )
        yield Finding(Harm.STOPS, Grade.FAIL, 3.0, "the figures are not to be trusted", text, "energy_error")
    near = case.near
    if near is None or near.doubtful == 0:
        return
    count, of = near.doubtful, len(near)
    are = "is" if count == 1 else "are"
    whose = "its energy ledger does" if count == 1 else "their energy ledger does"
    out = f", {'it is' if count == 1 else 'they are'} left out" if near.trusted else ""
    short = f"{count} of {of} runs close by {are} not to be trusted"
    grade = Grade.RISK if 2 * count >= of else Grade.NOTE
    text = f"{short}: {whose} not close{out}. Try a finer --dt-ms."
    yield Finding(Harm.STOPS, grade, count / of, short, text, "energy_error")
