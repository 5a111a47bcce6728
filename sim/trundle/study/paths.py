"""Field paths of a study: what a path with wildcards means in a given file, and whether it exists."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel

from trundle.errors import InputError, Problem, did_you_mean
from trundle.fields.walk import fields_at
from trundle.spec.course import Course
from trundle.spec.reader import dotted, matching_paths, node_at
from trundle.spec.vehicle import Vehicle

COURSE_FIELDS = frozenset(Course.model_fields) - {"name", "note"}
"""First parts of a field path that mean the course; all others mean the vehicle."""


def is_course_path(path: str) -> bool:
    """Whether a field path means the course file (`obstacle.1.height_mm`) and not the vehicle's."""
    return path.replace("[", ".").split(".")[0] in COURSE_FIELDS


def named_by(path: str, data: dict[str, Any], file: str) -> dict[str, Any]:
    """The fields that `path` names in the tables `data`: full path to the value written (None: its default).

    A wildcard names only those entries that have such a field: `bogie.*.spring.thickness_mm` passes over
    the coil springs. Raises InputError, with the nearest name, if it names none.
    """
    kind: type[BaseModel] = Course if is_course_path(path) else Vehicle
    found: dict[str, Any] = {}
    near: list[str] = []
    try:
        places = matching_paths(data, path)
    except InputError as e:
        raise e.at(file) from None
    for at in places:
        node = node_at(data, at[:-1])
        value = node.get(at[-1]) if isinstance(node, dict) else node[at[-1]]
        known = fields_at(kind, at[:-1], data)
        if value is not None or at[-1] in known:
            found[dotted(at)] = value
        near += [k for k in known or list(node) if k not in near]
    if not found:
        last = str(places[0][-1]) if places else path
        raise InputError(Problem(f'there is no "{last}"{did_you_mean(last, near)}', path, ", ".join(near), file))
    return found
