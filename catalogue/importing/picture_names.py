"""Which picture belongs to which row of a list, by its name.

Computed: from names of files (as they stand in an archive or a folder) the line and the side each
is of. A column of the list that names a file counts most; then the piece's own number, then the
number of the line. A word or figure behind the number tells the side; common practice, no source.

>>> rows = [Named(2, "A.7", ()), Named(3, "", (("reverse", "owl.jpg"),)), Named(4, "12", ())]
>>> found = assign(["x/A.7-rev.JPG", "A.7.jpg", "owl.jpg", "3 obv.png", "12.jpg", "me.jpg"], rows)
>>> found.of[2], found.of[3], found.of[4]
([('A.7.jpg', 'obverse'), ('x/A.7-rev.JPG', 'reverse')], [('3 obv.png', 'obverse'), \
('owl.jpg', 'reverse')], [('12.jpg', 'obverse')])
>>> found.left
['me.jpg']
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

ENDINGS = (".jpg", ".jpeg", ".png", ".webp")
SIDES = {
    "obverse": "obverse obv o av avers front vs a 1",
    "reverse": "reverse rev r rv revers back rs b 2",
    "edge": "edge e rand 3",
}
_SIDE = {word: side for side, words in SIDES.items() for word in words.split()}
_PARTED = re.compile(r"(?P<number>.+?)[\s_.\-()]+(?P<word>[^\W_]+)\)?", re.DOTALL)
_FOLDER = re.compile(r"[/\\]")


class Named(NamedTuple):
    """A row: its line, the piece's number, and what its columns call pictures, with the side."""

    line: int
    number: str
    pictures: tuple[tuple[str, str], ...]


@dataclass
class Assigned:
    """Names and sides by line, in the order of the names; ``left`` are of no row."""

    of: dict[int, list[tuple[str, str]]] = field(default_factory=lambda: defaultdict(list))
    left: list[str] = field(default_factory=list)


def is_picture(name: str) -> bool:
    """Whether a name is that of a picture that can be taken; hidden files are none."""
    last = _last(name)
    return last.casefold().endswith(ENDINGS) and not last.startswith(".")


def assign(names: Iterable[str], rows: Sequence[Named]) -> Assigned:
    """The row and side of each name of a picture."""
    called = {_key(text): (row.line, side) for row in rows for side, text in row.pictures}
    numbered = {_key(row.number): row.line for row in rows if row.number}
    lines = {str(row.line): row.line for row in rows}
    found = Assigned()
    for name in sorted(names, key=lambda name: (_stem(_key(name)), name)):
        key = _key(name)
        place = called.get(key) or called.get(_stem(key))
        place = place or _by_number(_stem(key), numbered) or _by_number(_stem(key), lines)
        if place is None:
            found.left.append(name)
        else:
            found.of[place[0]].append((name, place[1]))
    return found


def _by_number(stem: str, lines: dict[str, int]) -> tuple[int, str] | None:
    """The line of a number, alone or with a word behind it that tells the side."""
    if stem in lines:
        return lines[stem], "obverse"
    match = _PARTED.fullmatch(stem)
    if match is None or match["number"] not in lines or match["word"] not in _SIDE:
        return None
    return lines[match["number"]], _SIDE[match["word"]]


def _last(name: str) -> str:
    return _FOLDER.split(name)[-1]


def _key(text: str) -> str:
    """The last part of a name, in small letters, with single spaces."""
    return " ".join(_last(text).casefold().split())


def _stem(key: str) -> str:
    return next((key[: -len(end)] for end in ENDINGS if key.endswith(end)), key)
