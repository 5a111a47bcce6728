"""One question on the terminal: its answer, or where the builder wants to go instead."""

from __future__ import annotations

import shutil
import textwrap
from enum import Enum

import click

from trundle.cli.interview.draft import Draft
from trundle.cli.interview.questions import Question
from trundle.fields.docs import field_doc, table_doc
from trundle.fields.quantity import QuantityError, number, unit_of

NARROWEST, WIDEST = 50, 96
"""Columns that the text takes."""


class Move(Enum):
    """What may be said in place of an answer, and the words for it."""

    MORE = "?"
    BACK = "back"
    SKIP = "skip"
    STOP = "stop"
    UNKNOWN = "don't know"


_WORDS = {
    "?": Move.MORE, "help": Move.MORE, "more": Move.MORE, "back": Move.BACK, "skip": Move.SKIP, "later": Move.SKIP,
    "stop": Move.STOP, "quit": Move.STOP, "exit": Move.STOP, "don't know": Move.UNKNOWN, "dont know": Move.UNKNOWN,
    "do not know": Move.UNKNOWN, "i don't know": Move.UNKNOWN, "i dont know": Move.UNKNOWN,
    "i do not know": Move.UNKNOWN, "not sure": Move.UNKNOWN, "no clue": Move.UNKNOWN,
    "unknown": Move.UNKNOWN, "no idea": Move.UNKNOWN, "-": Move.UNKNOWN, "": Move.UNKNOWN,
}  # fmt: skip

HOW = (
    "Numbers are in the unit that is shown; others do too: 5 1/2 in, 40 lb, 12,5. Enter alone: I do not know, estimate "
    "it. In place of an answer: ? says more, back, skip (ask me again at the end), stop (keep my answers)."
)


class NoAnswerError(ValueError):
    """What was typed is none; its text says why."""


def say(text: str, indent: str = "") -> None:
    """On as many lines as the terminal wants."""
    columns = min(max(shutil.get_terminal_size().columns, NARROWEST), WIDEST)
    for line in text.splitlines():
        click.echo(
            "\n".join(
                textwrap.wrap(
                    line,
                    columns,
                    initial_indent=indent,
                    subsequent_indent=indent,
                    break_on_hyphens=False,
                    break_long_words=False,
                )
            )
            or ""
        )


def more(question: Question) -> str:
    """What the guide has on it."""
    doc = field_doc(question.table, question.field)
    labelled = (("Usual", doc.usual), ("Measure", doc.measure), ("If wrong", doc.if_wrong))
    parts = [doc.what, *(f"{label}: {text}" for label, text in labelled if text)]
    if question.path == "stock.kind":
        from trundle.design.stock import STOCKS

        parts = [f"{kind.kind_name()}: {table_doc(kind).what}" for kind in STOCKS]
    return "\n".join(p for p in parts if p)


def read(question: Question, typed: str) -> str | float | int | Move:
    """What was typed. Raises NoAnswerError."""
    word = " ".join(typed.split())
    if (move := _WORDS.get(word.lower().strip("."))) is not None:
        return move
    if question.text:
        return word
    if question.whole:
        if not word.isdigit() or len(word) > 4:
            raise NoAnswerError(f'a whole number is wanted (it is "{word[:40]}")')
        return int(word)
    try:
        if unit_of(question.field) is None:
            return float(word.replace(",", "."))
        return number(word, question.field)
    except QuantityError as e:
        raise NoAnswerError(str(e)) from None
    except ValueError:
        raise NoAnswerError(f'a number is wanted (it is "{word[:40]}")') from None


def ask(question: Question, draft: Draft) -> str | float | int | Move:
    """Asked till there is an answer or a move. Raises KeyboardInterrupt, and EOFError where input has ended."""
    while True:
        answer = _choose(question, draft) if question.choices else _type(question, draft)
        if answer is not Move.MORE:
            return answer
        say(more(question), "    ")


def _type(question: Question, draft: Draft) -> str | float | int | Move:
    import questionary

    unit = "" if question.text or question.whole else unit_of(question.field) or ""
    before: str | float | int | None = draft.get(question.path)
    usual = draft.estimate(question.path)
    notes = [unit, f"Enter: {before:g}" if isinstance(before, (int, float)) else f"Enter: {before}" if before else ""]
    if before is None or question.path in draft.unknown:
        taken = usual or (f"{question.usual:g} {unit}".strip() if isinstance(question.usual, float) else "")
        notes = [unit, "Enter: My hull" if question.text else f"Enter: I do not know, take {taken}" if taken
                 else "Enter: I do not know"]  # fmt: skip
    label = f"  ({'; '.join(n for n in notes if n)}) >"
    while True:
        typed = questionary.text(label, qmark="").unsafe_ask()
        if not typed.strip() and before is not None and question.path not in draft.unknown:
            return before  # as it was
        if not typed.strip() and question.text:
            return "My hull"
        try:
            return read(question, typed)
        except NoAnswerError as e:
            say(str(e), "    ")


def _choose(question: Question, draft: Draft) -> str | Move:
    import questionary

    before = draft.get(question.path)
    nothing = {
        "stock.kind": "nothing yet, or I do not know: propose new round bar",
        "use": "I do not know: take a ride-on",
    }.get(question.path, "I do not know")
    if question.field == "steel":
        nothing = "I do not know: take unknown scrap"
    choices = [questionary.Choice(c.words, value=c.value) for c in question.choices]
    choices += [
        questionary.Choice(nothing, value=Move.UNKNOWN),
        questionary.Choice("? say more", value=Move.MORE),
        questionary.Choice("back", value=Move.BACK),
        questionary.Choice("skip: ask me again at the end", value=Move.SKIP),
        questionary.Choice("stop: keep my answers", value=Move.STOP),
    ]
    known = next((c for c in choices if c.value == before), choices[0])
    asked = questionary.select(
        "  (arrow keys, then Enter)", choices=choices, default=known, qmark="", pointer=">", instruction=" "
    )
    answer: str | Move = asked.unsafe_ask()
    return answer
