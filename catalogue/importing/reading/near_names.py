"""Names that are spelt nearly like another: one letter changed, missing, too many, or two swapped.

Computed: of many names those that are one slip away from a text, both folded. The first letter is
hardly ever missed, so it must be the same or swapped with the second. Of five letters two may only
be swapped, and shorter texts have none, since with one slip they may be meant for anything.

>>> known = by_length(["belgium", "bulgaria", "niederlande"])
>>> near("beligum", known), near("niederlade", known)
(['belgium'], ['niederlande'])
>>> near("peru", by_length(["perm"])), near("austrlia", by_length(["australia", "austria"]))
([], ['austria', 'australia'])
>>> near("elgium", by_length(["belgium"])), near("ebgium", by_length(["begium"]))
([], ['begium'])
>>> near("itlay", by_length(["italy"])), near("malti", by_length(["malta", "malto"]))
(['italy'], [])
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence

SHORTEST = 6
ByLength = Mapping[int, Sequence[str]]


def by_length(names: Iterable[str]) -> ByLength:
    """The names by how long they are."""
    found: dict[int, list[str]] = defaultdict(list)
    for name in names:
        found[len(name)].append(name)
    return found


def near(text: str, names: ByLength) -> list[str]:
    """The names that one slip makes of a text, or a text of them; the shortest first."""
    if len(text) < SHORTEST or any(map(str.isdigit, text)):
        swapped = [text[:n] + text[n + 1] + text[n] + text[n + 2 :] for n in range(len(text) - 1)]
        return [name for name in names.get(len(text), ()) if len(text) == 5 and name in swapped]
    lengths = (len(text) - 1, len(text), len(text) + 1)
    begins = {text[0], text[1]}
    likely = (name for n in lengths for name in names.get(n, ()) if name[:1] in begins)
    return [name for name in likely if _one_slip(text, name) and _begins_alike(text, name)]


def _begins_alike(text: str, name: str) -> bool:
    return text[0] == name[0] or text[:2] == name[1::-1]


def _one_slip(one: str, other: str) -> bool:
    if len(one) > len(other):
        one, other = other, one
    at = next((n for n, letter in enumerate(one) if letter != other[n]), len(one))
    if len(one) < len(other):
        return one[at:] == other[at + 1 :]
    swapped = one[at : at + 2][::-1] == other[at : at + 2]
    return one != other and (
        one[at + 1 :] == other[at + 1 :] or (swapped and one[at + 2 :] == other[at + 2 :])
    )
