"""A library that says the same again and again is heard once."""

from __future__ import annotations

import logging


class SaidOnce(logging.Filter):
    """Lets each kind of message through once in a process, whatever it is said of.

    >>> filter = SaidOnce()
    >>> def said(words, of):
    ...     return filter.filter(logging.LogRecord("x", 30, "", 0, words, (of,), None))
    >>> said("no %s", "serif"), said("no %s", "sans"), said("a %s", "sans")
    (True, False, True)
    """

    def __init__(self, name: str = "") -> None:
        super().__init__(name)
        self._heard: set[str] = set()

    def filter(self, record: logging.LogRecord) -> bool:
        new = str(record.msg) not in self._heard
        self._heard.add(str(record.msg))
        return new
