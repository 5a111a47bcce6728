"""Families of kinds: springs, bogies, obstacles. A kind answers every question of its family."""

from __future__ import annotations

from abc import ABC
from typing import Annotated, Any, Union, get_args

from pydantic import Field

from trundle.fields.base import Spec


class Kind(Spec, ABC):
    """Base of a family. Its abstract methods are the questions; a class with a `kind` field must answer all.

    A kind that leaves an answer out is refused where it is defined (TypeError), so it can never be read from a
    file. "There is none" is an answer too, and has to be given.
    """

    @classmethod
    def __pydantic_init_subclass__(cls, **kwargs: Any) -> None:
        super().__pydantic_init_subclass__(**kwargs)
        missing = sorted(cls.__abstractmethods__)
        if "kind" in cls.model_fields and missing:
            raise TypeError(f"the kind {cls.__name__} does not answer: {', '.join(missing)}")

    @classmethod
    def kind_name(cls) -> str:
        """What the builder writes as its `kind`."""
        return str(get_args(cls.model_fields["kind"].annotation)[0])


def kinds_in(names: dict[str, Any], family: type[Any]) -> tuple[type[Any], ...]:
    """Every kind of `family` among `names` (a package's globals), in the order in which they were imported."""
    classes = [c for c in names.values() if isinstance(c, type) and issubclass(c, Kind) and issubclass(c, family)]
    return tuple(dict.fromkeys(c for c in classes if "kind" in c.model_fields))


def one_of(kinds: tuple[type[Any], ...]) -> Any:
    """The type of a field that holds one of `kinds`, told apart by what the builder writes as its `kind`."""
    return Annotated[Union[kinds], Field(discriminator="kind")]  # noqa: UP007 (a union of a tuple)
