"""How the drafted sentences of a stop are kept with it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from catalogue.models import Stop
from series.telling.sentences import Sentence


def drafted(stop: Stop) -> list[Sentence]:
    """The sentences of a stop as they were drafted; what cannot be read is none."""
    found = []
    for plain in stop.drafted if isinstance(stop.drafted, list) else ():
        try:
            found.append(Sentence.kept(plain))
        except (KeyError, TypeError, ValueError, ArithmeticError, AttributeError):
            continue
    return found


def kept(sentences: Iterable[Sentence], since: int | None) -> list[dict[str, Any]]:
    """Sentences as a stop keeps them; ``since``: the stop that it was compared with, by its id."""
    return [each.plain() | {"since": since} for each in sentences]


def since(stop: Stop) -> int | None:
    """The id of the stop that a stop was compared with when it was drafted."""
    rows = stop.drafted if isinstance(stop.drafted, list) else ()
    found = next((each.get("since") for each in rows if isinstance(each, dict)), None)
    return found if isinstance(found, int) else None
