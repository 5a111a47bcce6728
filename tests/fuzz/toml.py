"""Tables as TOML text, also tables that no sensible person writes."""

from __future__ import annotations

import datetime
import json
import math
import re
from typing import Any


def toml(tables: dict[str, Any]) -> str:
    """A file: values first, then [tables] and [[arrays of tables]]."""
    return "\n".join(_table(tables, "")) + "\n"


def _table(table: dict[str, Any], at: str) -> list[str]:
    lines: list[str] = []
    below: list[str] = []
    for key, value in table.items():
        path = f"{at}.{_key(key)}" if at else _key(key)
        if isinstance(value, dict) and value:
            below += ["", f"[{path}]", *_table(value, path)]
        elif isinstance(value, list) and value and all(isinstance(v, dict) for v in value):
            for entry in value:
                below += ["", f"[[{path}]]", *_table(entry, path)]
        else:
            lines.append(f"{_key(key)} = {inline(value)}")
    return lines + below


def inline(value: Any) -> str:
    """A value on one line."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float) and not math.isfinite(value):
        return "nan" if math.isnan(value) else "inf" if value > 0 else "-inf"
    if isinstance(value, (int, float)):
        return repr(value)
    if isinstance(value, (datetime.date, datetime.datetime)):
        return value.isoformat()
    if isinstance(value, list):
        return f"[{', '.join(map(inline, value))}]"
    if isinstance(value, dict):
        return f"{{ {', '.join(f'{_key(k)} = {inline(v)}' for k, v in value.items())} }}"
    return json.dumps(str(value), ensure_ascii=False)


def _key(key: str) -> str:
    return key if re.fullmatch(r"[A-Za-z0-9_-]+", key) else json.dumps(key, ensure_ascii=False)
