"""The verdict on the screen."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from rich.console import Console
from rich.padding import Padding
from rich.progress import BarColumn
from rich.table import Table
from rich.text import Text

from trundle.findings.blows import HARD_BLOW_G
from trundle.findings.grades import Grade, Line
from trundle.findings.limit import Limits
from trundle.findings.verdict import Verdict
from trundle.report.bars import bar, words

PLAIN_WIDTH = 110
"""Columns where there is no terminal that says its own."""

EXPLAINED = 3
"""Findings of which the screen gives the causes; the page gives all."""

_COLOUR = {Grade.FINE: "green", Grade.NOTE: "", Grade.RISK: "bold yellow", Grade.FAIL: "bold red"}
_PLAIN_SIGN = {Grade.FINE: "+", Grade.NOTE: "-", Grade.RISK: "!", Grade.FAIL: "x"}
_PLAIN = str.maketrans({"²": "2", "·": ".", "°": " deg", "–": "-", "−": "-", "×": "x"})
UNHARMED = (
    f"Without harm: nothing gives for good, who is at the seat is jolted and thrown with less than {HARD_BLOW_G:g} g "
    "(our own line), belly and the track's ends are not run into the ground, the track stays on. Each size is rolled "
    "four times close by."
)
"""What limits mean by it."""

CAUTION = "A planar estimate, not a certificate: test at walking pace, with guards and a kill switch."


def print_said(said: Verdict, console: Console | None = None) -> None:
    """A run's verdict to the console (stdout if none is given): the worst first, obstacles, wheels, each subject."""
    out = Out(console or screen())
    out.line(said.headline, bold=True)
    out.findings(said)
    out.gap()
    out.head(said.obstacles_head)
    if said.whose:
        out.say(said.whose, "dim")
    out.obstacles(said)
    out.gap()
    out.wheels(said)
    # With one obstacle its lines are the course's too.
    told = {line.text for o in said.obstacles for line in o.lines} if len(said.obstacles) == 1 else set()
    for section in said.sections:
        lines = [line for line in section.main if line.text not in told]
        if lines:
            out.gap()
            out.head(section.title)
            for line in lines:
                out.line(line)
    out.gap()
    out.say(CAUTION, "dim")


def screen() -> Console:
    """The terminal, or wide plain text where stdout is none. A name like `[/x]` is shown as it is."""
    console = Console(highlight=False, markup=False, emoji=False)
    if not console.is_terminal:
        console.width = PLAIN_WIDTH
    return console


class Out:
    """Writes to a console whose characters may be few."""

    def __init__(self, console: Console) -> None:
        self.console = console
        try:
            "✓✗·²°–".encode(console.encoding)
            self.plain = False
        except (UnicodeEncodeError, LookupError):
            self.plain = True

    def text(self, words: str, style: str = "") -> Text:
        """Words the console can show, never read as markup."""
        if self.plain:
            words = words.translate(_PLAIN)
            words = words.encode(self.console.encoding, "replace").decode(self.console.encoding)
        return Text("".join(c if c.isprintable() else " " for c in words), style=style)

    def sign(self, grade: Grade) -> Text:
        return self.text(_PLAIN_SIGN[grade] if self.plain else grade.sign, _COLOUR[grade])

    def gap(self) -> None:
        self.console.print()

    def say(self, words: str, style: str = "") -> None:
        self.console.print(self.text(words, style))

    def head(self, words: str) -> None:
        self.say(words, "bold")

    def line(self, line: Line, bold: bool = False) -> None:
        """Sign, and the sentence hanging beside it; a risk or failure says so in a word too."""
        row = Table.grid(padding=(0, 1))
        row.add_column()
        row.add_column()
        row.add_row(self.sign(line.grade), self._graded(line, bold))
        self.console.print(row)

    def _graded(self, line: Line, bold: bool) -> Text:
        words = self.text(line.text, "bold" if bold else "")
        if line.grade < Grade.RISK:
            return words
        return Text.assemble((f"{line.grade.word.upper()}: ", _COLOUR[line.grade]), words)

    def findings(self, said: Verdict) -> None:
        """What matters, the worst first; of the first few the causes too."""
        for number, finding in enumerate(said.findings):
            if number == 0:
                self.gap()
            self.line(finding.line)
            if finding.causes and number < EXPLAINED:
                self.console.print(Padding(self.text(finding.because, "dim"), (0, 0, 0, 2)))

    def obstacles(self, said: Verdict) -> None:
        table = Table.grid(padding=(0, 1))
        many = len(said.obstacles) > 1
        for i, o in enumerate(said.obstacles, 1):
            words = Text.assemble(self.text(f"{o.heading}: ", "bold"), self.text(o.outcome.text, "bold"))
            for line in o.lines:
                words.append(" ")
                words.append_text(self.text(line.text, _COLOUR[line.grade] if line.grade >= Grade.RISK else ""))
            table.add_row(self.sign(o.grade), Text(str(i) if many else "", style="dim", justify="right"), words)
        self.console.print(table)

    def wheels(self, said: Verdict) -> None:
        table = Table(box=None, padding=(0, 2, 0, 0), header_style="dim")
        for i, head in enumerate(said.wheels.heads):
            table.add_column(self.text(head), justify="left" if i == 0 else "right")
        for row in said.wheels.rows:
            table.add_row(*map(self.text, row))
        self.console.print(Padding(table, (0, 0, 0, 2)))


def print_limits(limits: Limits, caution: str, console: Console | None = None) -> None:
    """What the vehicle can do without harm, and at most, and why no more."""
    out = Out(console or screen())
    out.head(limits.title)
    out.say(UNHARMED, "dim")
    out.gap()
    table = Table(box=None, padding=(0, 3, 0, 0), show_header=False)
    for _ in range(4):
        table.add_column()
    for one in limits:
        for number, (which, said, why) in enumerate(one.rows):
            bold = "bold" if number == 0 else ""
            table.add_row(
                out.text("" if number else one.what, "bold"),
                out.text(which, "dim"),
                out.text(said, bold),
                out.text(why),
            )
    out.console.print(table)
    doubtful = [one for one in limits if one.doubtful]
    for one in doubtful:
        out.gap()
        text = (
            f"{one.what}: {one.doubtful} of its sizes gave no run whose energy ledger closes, however fine; they count "
            "as not passed."
        )
        out.line(Line(Grade.RISK, text))
    out.gap()
    out.say(caution, "dim")


@contextmanager
def watched() -> Iterator[Callable[[str, float], None]]:
    """Shows on stderr what is being tried; to be called with the words and the share done."""
    with bar(BarColumn(bar_width=24), words()) as shown:
        task = shown.add_task("", total=1.0)
        yield lambda what, share: shown.update(task, description=what, completed=share)
