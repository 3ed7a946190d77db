"""Finding a type by a few words of it, and an issue of it by its date as written."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from django.db.models import Q, QuerySet
from django.utils.translation import gettext as _

from catalogue import access
from catalogue.holdings.filters import words_of
from catalogue.holdings.type_index import type_texts
from series.dates import DateError, read_date_input
from series.folding import fold
from series.models import CoinType, Issue
from series.naming import joined

MOST = 12
_LOOKED_AT = 400
_RANKED_BY = ("denomination__name", "name", "series__name", "series__issuer__name")


def enterable_types(viewer: Any) -> QuerySet[CoinType]:
    """The types a holding can be entered as: what stands in the catalogue, and own proposals."""
    standing = CoinType.Standing
    entered = Q(standing__in=[standing.ACCEPTED, standing.PROVISIONAL])
    if access.is_member(viewer):
        entered |= Q(standing=standing.PROPOSED, proposal__proposed_by=viewer)
    return (
        access.visible_types(viewer)
        .filter(entered)
        .select_related("denomination", "series__issuer")
    )


def find_types(viewer: Any, text: str, limit: int = MOST) -> list[CoinType]:
    """The types that all words of ``text`` point to, the likeliest first.

    A word matches the beginning of a word of the type's search text (country, denomination,
    series, metal, legends, motifs, people); a year also matches the years of the type. Three
    queries, as long as no type has changed.
    """
    words = words_of(text)
    if not words:
        return []
    rows = _enterable_rows(viewer, type_texts().found(words))
    rows.sort(key=lambda row: _rank(words, row))
    ids = [row[0] for row in rows[:limit]]
    found = {each.pk: each for each in enterable_types(viewer).filter(pk__in=ids)}
    return [found[pk] for pk in ids if pk in found]


def _enterable_rows(viewer: Any, ids: list[int]) -> list[tuple[Any, ...]]:
    """The first _LOOKED_AT of these types that can be entered, with the words they rank by.

    One query, unless many cannot be entered.
    """
    rows: list[tuple[Any, ...]] = []
    for start in range(0, len(ids), _LOOKED_AT):
        some = ids[start : start + _LOOKED_AT]
        found = enterable_types(viewer).filter(pk__in=some).order_by()
        by_id = {row[0]: row for row in found.values_list("pk", *_RANKED_BY)}
        rows += [by_id[pk] for pk in some if pk in by_id]
        if len(rows) >= _LOOKED_AT:
            break
    return rows[:_LOOKED_AT]


def _rank(words: list[str], row: tuple[Any, ...]) -> tuple[Any, ...]:
    """Fewer words unexplained by the coin's name, then by its series and country, go first."""
    denomination, name, series, issuer = map(_folded_words, row[1:])
    whole = sum(word in denomination for word in words)
    begun = sum(any(w.startswith(word) for w in denomination) for word in words)
    around = sum(any(w.startswith(word) for w in (*name, *series, *issuer)) for word in words)
    return (-whole, -begun - around, -around, len(denomination) + len(name), issuer, denomination)


@lru_cache(maxsize=20_000)
def _folded_words(name: str) -> tuple[str, ...]:
    return tuple(fold(name).split())


def type_label(coin_type: CoinType) -> str:
    """ "25 tinne, net — Second series, Halvern": what stands in the field once it is chosen."""
    series = coin_type.series
    return f"{coin_type} — {joined(series.name, series.issuer.name)}"


def type_years(coin_type: CoinType) -> str:
    """ "1931–53", as short as it is clear; empty when no year is known."""
    first, last = coin_type.first_year, coin_type.last_year
    if first is None or last is None or first == last:
        return str(first or last or "")
    short = str(last)[2:] if first // 100 == last // 100 and first >= 1000 else str(last)
    return f"{first}–{short}"


def type_options(types: list[CoinType]) -> list[dict[str, Any]]:
    """What a list of types to choose from shows of each."""
    return [{"type": each, "label": type_label(each), "years": type_years(each)} for each in types]


@dataclass(frozen=True)
class TypeRead:
    """What a text in the type's field means: a type, or several to choose from, or neither."""

    coin_type: CoinType | None = None
    choices: list[CoinType] = field(default_factory=list)
    error: str = ""


def read_type(viewer: Any, text: str, chosen: str = "", picked: str = "") -> TypeRead:
    """The type meant by a field's text, the id chosen with it, and an id picked from a list.

    The id chosen counts as long as the text is still that type's label; so the field works with
    and without the page's script.
    """
    text = " ".join(text.split())
    if picked.isdecimal():
        one = enterable_types(viewer).filter(pk=picked).first()
        if one is not None:
            return TypeRead(one)
    if not text:
        return TypeRead()
    if chosen.isdecimal():
        kept = CoinType.objects.select_related("denomination", "series__issuer")
        one = kept.filter(pk=chosen).first()
        if one is not None and type_label(one) == text:
            return TypeRead(one)
    found = find_types(viewer, text)
    named = [each for each in found if fold(type_label(each)) == fold(text)]
    if len(found) == 1 or len(named) == 1:
        return TypeRead((named or found)[0])
    if found:
        return TypeRead(
            choices=found,
            error=_("Several coins answer to this: choose one of them, or write more of its name."),
        )
    return TypeRead(
        error=_("No coin in the catalogue answers to “%(text)s”. Try fewer or shorter words.")
        % {"text": text}
    )


@dataclass(frozen=True)
class DateRead:
    """What a text in the date's field means for a type.

    Either an issue, or issues to choose from, or a reading in EDTF that is none of its dates.
    """

    issue: Issue | None = None
    choices: list[Issue] = field(default_factory=list)
    reading: str = ""
    error: str = ""


def read_issue(coin_type: CoinType | None, text: str, picked: str = "") -> DateRead:
    """The issue of a type by its date as written ("1947 S"), else what was read, as EDTF.

    Without a date the only issue of a type is taken. One query.
    """
    issues: list[Issue] = []
    if coin_type is not None:
        issues = list(
            Issue.objects.filter(coin_type=coin_type, withdrawn=False)
            .exclude(fact=Issue.Fact.NOT_STRUCK)
            .order_by("struck_from", "position", "pk")
        )
    if picked.isdecimal():
        one = next((issue for issue in issues if issue.pk == int(picked)), None)
        if one is not None:
            return DateRead(one)
    wanted = fold(text)
    if not wanted and not text.strip():
        return DateRead(issues[0]) if len(issues) == 1 else DateRead()
    for found in (
        [issue for issue in issues if fold(issue.label) == wanted],
        [issue for issue in issues if fold(issue.shown) == wanted],
        [issue for issue in issues if str(issue.struck_from) == wanted],
    ):
        if len(found) == 1:
            return DateRead(found[0])
        if found:
            return DateRead(choices=found, error=_("It was struck in several ways: choose one."))
    try:
        return DateRead(reading=str(read_date_input(text)))
    except DateError as error:
        return DateRead(error=str(error))
