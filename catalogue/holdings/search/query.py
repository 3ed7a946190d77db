"""What browsing is asked and answers: rows, a search, its result.

Units: holdings are rows with a whole-number id; pieces are the sum of their quantities. Texts and
sort keys come folded and collated. Source: none needed.

>>> HoldingRow(1, owner=7, visibility="public", facets={"metal": "copper"}).quantity
1
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field

from catalogue.holdings.search.ranking import Key
from catalogue.holdings.search.tally import Value


@dataclass(frozen=True, slots=True)
class HoldingRow:
    """One holding as browsing sees it.

    A facet's value is a ``Value`` or a tuple of several; one left out, or an empty tuple, counts
    as None ("not recorded"). ``keys`` are its sort keys; one left out is None. ``text`` is the
    folded text of the holding itself, ``own_text`` what only its owner finds it by; its type's
    text is given to the store once a type.
    """

    id: int
    owner: int
    visibility: str
    type_id: int | None = None
    quantity: int = 1
    facets: Mapping[str, Value | tuple[Value, ...]] = field(default_factory=dict)
    keys: Mapping[str, Key] = field(default_factory=dict)
    text: str = ""
    own_text: str = ""


@dataclass(frozen=True, slots=True)
class Search:
    """What is asked: who sees what, what is chosen, and in which order.

    ``visible(owner, visibility)`` says whether the viewer sees such a row; it is called once for
    each distinct pair. A facet in ``private_facets`` is counted, and matches, in rows that
    ``viewer`` owns and nowhere else. ``choices`` are the values chosen by facet: any of them
    will do, and no value at all chooses nothing. ``text`` is folded words, all of which must
    occur, each as a part of the holding's text or of its type's, or of its own text in rows that
    ``viewer`` owns. ``only`` are ids beside which nothing is found. ``sort`` is "id" or a sort key
    of the store; rows without the key come last both ways, and equal keys go by id in the same
    direction.
    """

    visible: Callable[[int, str], bool]
    viewer: int | None = None
    choices: Mapping[str, Collection[Value]] = field(default_factory=dict)
    text: str = ""
    sort: str = "id"
    descending: bool = False
    private_facets: Collection[str] = ()
    only: Collection[int] | None = None


@dataclass(frozen=True, slots=True)
class Result:
    """``total`` rows found, ``ids`` of the page asked for, counts by facet, ``pieces`` in all.

    Counts leave out values that no row would have, but name every chosen one, at 0 if need be.
    """

    total: int
    ids: list[int]
    counts: dict[str, dict[Value, int]]
    pieces: int
