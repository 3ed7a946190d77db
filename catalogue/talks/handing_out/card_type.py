"""How large the type of a case card must be for its reading distance, and how long its words.

What is computed, lengths in mm, type in points:

**Accessible** type by the height of a lower-case x: 9 mm at 1 m, 19 mm at 2 m, 28 mm at 3 m
(Smithsonian Guidelines for Accessible Exhibition Design; these figures from memory). Between
these distances in a straight line; nearer than the first and farther than the last in proportion.

**Merely legible** type by the height of a capital: 22 minutes of arc, 6.4 mm at 1 m (the larger of
the 20 to 22 minutes that the CRC handbook gives).

**Words** by the same guidelines: at most 25 words a sentence, 75 a label, 45 to 55 characters
a line.

>>> accessible_x_height(1000), accessible_x_height(1500), round(accessible_x_height(500), 2)
(9.0, 14.0, 4.5)
>>> round(legible_capital(1000), 2)
6.4
>>> sizes = sizes_for(500, CARD)
>>> round(sizes.accessible, 1), round(sizes.legible, 1)
(26.2, 13.7)
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from catalogue.printing.lettering import MM_PER_POINT, Lettering, capital_height, x_height

X_HEIGHTS = ((1000.0, 9.0), (2000.0, 19.0), (3000.0, 28.0))
"""Reading distance and height of x, mm."""
LEGIBLE_MINUTES = 22.0
SENTENCE_MOST, LABEL_MOST = 25, 75  # words
LINE_LEAST, LINE_MOST = 45, 55  # characters
NEAREST, FARTHEST = 200.0, 5000.0  # mm, of what is asked for

CARD = Lettering("card", "sans", 10)


@dataclass(frozen=True)
class Sizes:
    """Points for one reading distance: for all readers, and so that it can just be read."""

    distance: float
    accessible: float
    legible: float


def accessible_x_height(distance: float) -> float:
    """The height of x, in mm, that the guidelines ask for at a distance in mm."""
    first, last = X_HEIGHTS[0], X_HEIGHTS[-1]
    if distance <= first[0]:
        return first[1] * distance / first[0]
    for (near, low), (far, high) in pairwise(X_HEIGHTS):
        if distance <= far:
            return low + (high - low) * (distance - near) / (far - near)
    return last[1] * distance / last[0]


def legible_capital(distance: float, minutes: float = LEGIBLE_MINUTES) -> float:
    """The height of a capital, in mm, that is seen under so many minutes of arc."""
    return 2 * distance * math.tan(math.radians(minutes / 60) / 2)


def sizes_for(distance: float, how: Lettering) -> Sizes:
    """The sizes of type for a distance, in the font of a lettering."""
    x, capital = x_height(how), capital_height(how)
    return Sizes(
        distance,
        accessible_x_height(distance) / x / MM_PER_POINT,
        legible_capital(distance) / capital / MM_PER_POINT,
    )


_WORD = re.compile(r"\S*\w\S*")
_INITIAL = re.compile(r"[^\W\d_]\.$")


def words_in(text: str) -> int:
    """How many words a text has; what holds neither letter nor figure is none.

    >>> words_in("copper-nickel, 21 mm · struck at Saltmouth")
    6
    """
    return len(_WORD.findall(text))


def sentences(text: str) -> list[str]:
    """The sentences of a text: each ends before a capital, and with its paragraph.

    >>> sentences("Cut by F. Gull. A net, c. two inches wide! “Then wheat.” 1934")
    ['Cut by F. Gull.', 'A net, c. two inches wide!', '“Then wheat.” 1934']
    """
    found: list[str] = []
    for paragraph in text.splitlines():
        begun: list[str] = []
        for token, following in pairwise([*paragraph.split(), ""]):
            begun.append(token)
            if not following or _ends(token, following):
                found.append(" ".join(begun))
                begun = []
    return found


def _ends(token: str, following: str) -> bool:
    """Whether a sentence ends between two words; an initial with its stop ends none."""
    marked = token.rstrip("”’)\"'").endswith((".", "!", "?", "…"))
    initial = _INITIAL.match(token) and token.isupper()
    return marked and not initial and following.lstrip("“‘(\"'")[:1].isupper()


def longest_sentence(texts: Sequence[str]) -> int:
    """Words of the longest sentence."""
    return max((words_in(one) for text in texts for one in sentences(text)), default=0)
