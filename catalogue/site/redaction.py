"""Keeps the secrets of handed-over and shared links out of the logs.

Computed: a text in which the token of every secret address (``/link/<token>/``,
``/list/<token>/``, ``/shown/<token>/``, also percent-encoded) is replaced by an ellipsis. No units;
the addresses are this site's own (urls.py of catalogue/members, wants and showing).

>>> redacted("Not Found: /list/Zm9vYmFy/csv/")
'Not Found: /list/…/csv/'
>>> redacted("GET /sign-in/?next=%2Flink%2FZm9vYmFy%2F HTTP/1.1")
'GET /sign-in/?next=%2Flink%2F…%2F HTTP/1.1'
>>> redacted("Not Found: /shown/Zm9vYmFy/12/")
'Not Found: /shown/…/12/'
>>> redacted("Not Found: /holdings/12/")
'Not Found: /holdings/12/'
"""

from __future__ import annotations

import logging
import re

_SECRET_ADDRESS = re.compile(
    r"""(?:(?<![\w-])|(?<=%2F))((?:link|list|shown)(?:/|%2F))[^/%\s"'?#&<>]+""", re.IGNORECASE
)


def redacted(text: str) -> str:
    """The text without the tokens of secret addresses."""
    return _SECRET_ADDRESS.sub(r"\1…", text)


class RedactingFormatter(logging.Formatter):
    """Formats a log record, tracebacks included, without the tokens of secret addresses."""

    def format(self, record: logging.LogRecord) -> str:
        return redacted(super().format(record))
