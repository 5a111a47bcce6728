"""Answers as they stand while they are being asked for."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from trundle.design.answers import Answers
from trundle.design.estimate import estimate
from trundle.design.known import filled
from trundle.errors import InputError, Problem
from trundle.fields.commented import commented
from trundle.spec.reader import validate

NOT_KNOWN = "not_known"

MOTOR = "motor"
"""What is known of the motor: an answer that only leads to the next."""


@dataclass
class Draft:
    """values: what was answered, as in a file of answers; unknown: paths of what the builder does not know; asides:
    answers that only lead to the next question."""

    values: dict[str, Any] = field(default_factory=dict)
    unknown: list[str] = field(default_factory=list)
    asides: dict[str, str] = field(default_factory=dict)

    @classmethod
    def of(cls, answers: Answers) -> Draft:
        """To go on with answers that were kept."""
        values = answers.model_dump(mode="json", exclude_unset=True, exclude_none=True)
        unknown = list(values.pop(NOT_KNOWN, ()))
        asides = {MOTOR: next(iter(values["motor"]))} if values.get("motor") else {}
        return cls({k: v for k, v in values.items() if v != {}}, unknown, asides)

    def get(self, path: str) -> Any:
        """What was answered there; None if nothing was."""
        if path in self.asides:
            return self.asides[path]
        node: object = self.values
        for part in path.split("."):
            if not isinstance(node, Mapping) or part not in node:
                return None
            node = node[part]
        return None if isinstance(node, Mapping) else node

    def answered(self, path: str) -> bool:
        """Whether there is an answer, be it that nobody knows."""
        return self.get(path) is not None or path in self.unknown

    def put(self, path: str, value: Any) -> None:
        """An answer; what it makes void is gone."""
        self.forget(path)
        if path == MOTOR:
            self.asides[path] = value
            self.values.pop("motor", None)
            return
        *above, last = path.split(".")
        node = self.values
        for part in above:
            node = node.setdefault(part, {})
        node[last] = value

    def forget(self, path: str) -> None:
        """No answer."""
        self.unknown = [p for p in self.unknown if p != path]
        self.asides.pop(path, None)
        *above, last = path.split(".")
        node: dict[str, Any] = self.values
        for part in above:
            node = node.get(part, {})
        node.pop(last, None)

    def not_known(self, path: str, usual: Any | None = None) -> None:
        """Nobody knows. usual: what stands for it in the file where something has to."""
        self.forget(path)
        if path == "stock.kind":
            self.forget_below("stock")
        if path == MOTOR:
            self.values.pop("motor", None)
        if usual is not None:
            self.put(path, usual)
        self.unknown.append(path)

    def forget_below(self, table: str) -> None:
        """Nothing of a table, as of stock that turns out to be of another kind."""
        self.values.pop(table, None)
        self.unknown = [p for p in self.unknown if not p.startswith(f"{table}.")]

    def all(self) -> dict[str, Any]:
        """As a file of answers has it."""
        return {**copy.deepcopy(self.values), **({NOT_KNOWN: list(self.unknown)} if self.unknown else {})}

    def answers(self) -> Answers:
        """Checked. Raises InputError."""
        return validate(Answers, self.all(), "")

    def problems_at(self, path: str) -> list[Problem]:
        """What is wrong with what was just answered there: of the answer itself, or beside others before it."""
        try:
            self.answers()
        except InputError as e:
            missing = "this field is missing"
            return [p for p in e.problems if p.problem != missing and p.field.startswith(path.partition(".")[0])]
        return []

    def estimate(self, path: str) -> str:
        """What would be taken for it if nobody knows, in words; empty where that cannot be said yet."""
        without = Draft(copy.deepcopy(self.values), list(self.unknown))
        without.forget(path)
        without.forget_below("stock")
        try:
            known = filled(without.answers())
        except InputError:
            return ""
        return estimate(known, path)

    def text(self) -> str:
        """As a file, with a comment on every line."""
        return commented(Answers, self.all())
