"""The interview from its first question to the file."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

import click

from trundle.cli.first_design import propose_and_write
from trundle.cli.interview.draft import Draft
from trundle.cli.interview.keeping import keep, place_of_answers
from trundle.cli.interview.prompts import HOW, Move, ask, say
from trundle.cli.interview.questions import MOST, QUESTIONS, Question, question_at
from trundle.cli.new_file import check_free, place_for
from trundle.cli.stopping import StoppedError, hung_up_as_stopped
from trundle.design.answers import load_answers
from trundle.errors import InputError, Problem


class _Stop(Exception):  # noqa: N818 (no error: the builder has had enough for today)
    """The builder stops here."""


@dataclass
class Interview:
    """draft: the answers; kept: the file of kept answers that is gone on with, if any; out: where the vehicle's file is
    to go, if that was said; asked: paths of the questions so far, one that was gone back to once; later: those
    that were left for the end."""

    draft: Draft
    kept: Path | None
    out: Path | None
    asked: list[str] = field(default_factory=list)
    later: list[str] = field(default_factory=list)

    def vehicle_file(self) -> Path:
        """Where the vehicle's file goes."""
        return place_for(str(self.draft.get("name") or "My hull"), self.out)

    def save(self) -> Path:
        """Keep the answers."""
        return keep(self.draft, self.kept or place_of_answers(self.vehicle_file()), self.kept is not None)

    def ask_all(self) -> None:
        """Every question that is open; then those that were left for the end."""
        place, path_back = 0, list[int]()
        while (found := self._next(place)) is not None:
            question = QUESTIONS[found]
            move = self._ask(question)
            if move is Move.BACK:
                if not path_back:
                    say("This is the first one.", "    ")
                    place = found
                    continue
                place = path_back.pop()
                self.draft.forget(QUESTIONS[place].path)
                continue
            if move is Move.SKIP and question.path not in self.later:
                self.later.append(question.path)
            path_back.append(found)
            place = found + 1
            if question.path == "name" and self._goes_on():
                place, path_back = 0, []
        left = [p for p in self.later if not self.draft.answered(p)]
        if left:
            say("\nNow what you have left for the end.")
        for path in left:
            self._at(path)

    def again(self, path: str) -> bool:
        """Ask once more for the answer that a problem lies in; False if there is none."""
        found = question_at(path)
        if found is None:
            return False
        self._at(QUESTIONS[found].path)
        return True

    def _next(self, place: int) -> int | None:
        """The next question that is open, from a place on."""
        for i in range(place, len(QUESTIONS)):
            question = QUESTIONS[i]
            open_now = not self.draft.answered(question.path) and question.path not in self.later
            if open_now and question.asked(self.draft):
                return i
        return None

    def _at(self, path: str) -> None:
        """One question at the end: there is nothing to go back to, and it is not left open again."""
        question = next(q for q in QUESTIONS if q.path == path)
        if question.asked(self.draft) and self._ask(question) in (Move.BACK, Move.SKIP):
            self.draft.not_known(path, question.usual)
        self._follow(path)

    def _follow(self, path: str) -> None:
        """What has to be asked now that it was not before, as the sizes of stock."""
        table = path.partition(".")[0]
        for question in QUESTIONS:
            opened = question.path.startswith(f"{table}.") and question.path != path
            if not opened or not question.asked(self.draft) or self.draft.answered(question.path):
                continue
            if self._ask(question) in (Move.BACK, Move.SKIP):
                self.draft.not_known(question.path, question.usual)

    def _ask(self, question: Question) -> Move | None:
        """One question till its answer can be; what was said in its place."""
        if question.path not in self.asked:
            self.asked.append(question.path)
        click.echo(f"\n{self.asked.index(question.path) + 1}. {question.ask}")
        say(f"Why: {question.why}.", "   ")
        while True:
            answer = ask(question, self.draft)
            if answer is Move.STOP:
                raise _Stop
            if answer in (Move.BACK, Move.SKIP):
                assert isinstance(answer, Move)
                return answer
            if answer is Move.UNKNOWN:
                self.draft.not_known(question.path, question.usual)
                return None
            if question.path == "stock.kind" and answer != self.draft.get("stock.kind"):
                self.draft.forget_below("stock")
            self.draft.put(question.path, answer)
            problems = self.draft.problems_at(question.path) or self._taken(question.path)
            if not problems:
                return None
            self.draft.forget(question.path)
            for problem in problems:
                allowed = f" (allowed: {problem.allowed})" if problem.allowed else ""
                say(f"That cannot be: {problem.problem}{allowed}", "    ")

    def _taken(self, path: str) -> list[Problem]:
        """A name that no file may have, or whose vehicle is there already."""
        if path != "name":
            return []
        try:
            if not self.vehicle_file().exists():
                return []
        except InputError as e:
            return list(e.problems)
        return [Problem(f"{self.vehicle_file()} is there already", allowed="another name, or --out FILE")]

    def _goes_on(self) -> bool:
        """Whether answers are kept for a vehicle of this name, and are wanted."""
        place = place_of_answers(self.vehicle_file())
        if self.kept is not None or not place.is_file():
            return False
        try:
            before = Draft.of(load_answers(place))
        except InputError:
            return False  # not ours, or spoilt: it stays as it is
        if not _agreed(f"There are answers in {place}. Go on with them?"):
            return False
        self.draft, self.kept = before, place
        return True


def interview(kept: Path | None, out: Path | None) -> None:
    """Ask, propose, write. kept: answers to go on with. Raises InputError; StoppedError on Ctrl-C."""
    draft = Draft() if kept is None else Draft.of(load_answers(kept))
    running = Interview(draft, kept, out)
    if out is not None:
        check_free(out)
    say(f"A vehicle of your own, in at most {MOST} questions; none has to be answered. {HOW}")
    with hung_up_as_stopped():
        _sitting(running)


def _sitting(running: Interview) -> None:
    """All questions and the proposal; what is answered is kept however it ends."""
    try:
        running.ask_all()
        while True:
            target = running.vehicle_file()
            check_free(target)
            running.kept = running.save()
            say(f"\nYour answers are in {running.kept}.")
            try:
                propose_and_write(running.draft.answers(), target)
            except InputError as e:
                say(f"\nThat cannot be built: {e}")
                if not running.again(e.problems[0].field):
                    raise
            else:
                return
    except (_Stop, EOFError):
        place = running.save()
        say(f"\nStopped. Your answers are in {place}; to go on with them:")
        click.echo(f"  trundle new --go-on {place}")
    except KeyboardInterrupt:
        place = running.save()
        raise StoppedError(f"your answers are in {place}; to go on: trundle new --go-on {place}") from None


def _agreed(what: str) -> bool:
    import questionary

    return bool(questionary.confirm(what, default=True, qmark="").unsafe_ask())
