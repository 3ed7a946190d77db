"""The words of a holding that its owner alone finds it by.

Where it is kept, from whom it came, what a list said of it, its earlier owners and its problems.
(The note is shown with the piece, so it stands in ``search_text``, by which all who see the piece
find it.) They stand folded in ``Holding.own_text``; ``note_holdings`` has them made anew for
whatever changed, so that a search needs no other table.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator

from django.db.models import Q, QuerySet

from catalogue.models import Holding, HoldingProblem, ProvenanceLine
from series.parcels import parcels
from series.text.folding import fold

OF_THE_PIECE = ("acquired_from", "place__path", "imported")


def refresh(ids: Iterable[int]) -> int:
    """Make the stored words of these holdings what the records say; returns how many differed."""
    differed = 0
    for some in parcels(sorted(set(ids))):
        stale = list(_stale(Holding.everything.filter(pk__in=some)))
        Holding.everything.bulk_update(stale, ["own_text"], batch_size=100)
        differed += len(stale)
    return differed


def parts_of(holdings: QuerySet[Holding]) -> dict[int, list[str]]:
    """What the words are made from, as it was written, by the holding's id."""
    found: dict[int, list[str]] = {}
    for pk, *parts in holdings.order_by().values_list("pk", *OF_THE_PIECE):
        found[pk] = [part for part in parts if part]
    for pk, more in beside(found).items():
        found[pk] += more
    return found


def beside(holdings: Iterable[int]) -> dict[int, list[str]]:
    """The parts that do not stand with the holding itself: earlier owners and problems."""
    found: dict[int, list[str]] = defaultdict(list)
    of_these = Q(holding__in=list(holdings))
    for pk, when, text in ProvenanceLine.objects.filter(of_these).values_list(
        "holding", "when", "text"
    ):
        found[pk] += [when, text]
    kinds = dict(HoldingProblem.Kind.choices)
    for pk, kind, note in HoldingProblem.objects.filter(of_these).values_list(
        "holding", "kind", "note"
    ):
        found[pk] += [str(kinds.get(kind, "")), note]
    return found


def words_of(piece: Holding, more: Iterable[str] = ()) -> str:
    """The words of a piece at hand; ``more`` is what stands ``beside`` it."""
    place = piece.place.path if piece.place is not None else ""
    own = [part for part in (piece.acquired_from, place, piece.imported) if part]
    return fold(" ".join([*own, *more]))


def _stale(holdings: QuerySet[Holding]) -> Iterator[Holding]:
    said = parts_of(holdings)
    for holding in holdings.only("pk", "own_text").order_by():
        words = fold(" ".join(said.get(holding.pk, ())))
        if words != holding.own_text:
            holding.own_text = words
            yield holding
