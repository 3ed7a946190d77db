"""Write plain values as TOML 1.0 text that a person likes to read and edit.

What is computed: text from texts, numbers, dates, lists and tables. Short lists and tables stand on
one line, long lists one item a line; a text with double quotes in it stands in single quotes.
Source: TOML 1.0.0, toml.io.

>>> line("legends", ["HALVERN", {"text": "١٣٥٠", "script": "Arab"}])
'legends = ["HALVERN", { text = "١٣٥٠", script = "Arab" }]'
>>> line("dates", '1955 "wide rim"')
'dates = \\'1955 "wide rim"\\''
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any

WIDTH = 96
_BARE = re.compile(r"[A-Za-z0-9_-]+")


def line(name: str, value: Any) -> str:
    """One field: ``name = value``, over several lines where it is long."""
    short = f"{key(name)} = {inline(value)}"
    if isinstance(value, list) and (len(short) > WIDTH or "\n" in short):
        items = "".join(f"    {inline(item)},\n" for item in value)
        return f"{key(name)} = [\n{items}]"
    if isinstance(value, str) and "\n" in value:
        return f"{key(name)} = {_lines(value)}"
    return short


def key(name: str) -> str:
    return name if _BARE.fullmatch(name) else _quoted(name)


def inline(value: Any) -> str:
    """A value on one line. Raises TypeError for what TOML has no word for, such as None."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value)
    if isinstance(value, Decimal):
        text = f"{value:f}"
        return text if "." in text else f"{text}.0"
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, str):
        return _literal(value) if _is_plain(value) and '"' in value else _quoted(value)
    if isinstance(value, Mapping):
        fields = ", ".join(f"{key(name)} = {inline(item)}" for name, item in value.items())
        return f"{{ {fields} }}" if fields else "{}"
    if isinstance(value, list):
        return f"[{', '.join(map(inline, value))}]"
    raise TypeError(f"{type(value).__name__} cannot be written as TOML")


def _is_plain(text: str) -> bool:
    """May stand in single quotes: no such quote in it and nothing but printed characters."""
    return "'" not in text and all(char.isprintable() for char in text)


def _literal(text: str) -> str:
    return f"'{text}'"


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _lines(text: str) -> str:
    """Over several lines, between three quotes; a line break right after them does not count."""
    if (
        "'''" not in text
        and not text.endswith("'")
        and "\r" not in text
        and (all(char.isprintable() or char in "\n\t" for char in text))
    ):
        return f"'''\n{text}'''"
    return _quoted(text)
