"""Finding a type by a few words of it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any

from django.db.models import Q, QuerySet
from django.urls import reverse
from django.utils.html import format_html
from django.utils.http import urlencode
from django.utils.translation import gettext as _

from catalogue import access
from catalogue.holdings.fields import ids_from
from catalogue.holdings.finding.coin_words import Asked, Term, Word, date_and_grade, read_words
from catalogue.holdings.finding.country_names import named_country
from catalogue.holdings.finding.type_index import type_texts
from catalogue.members.requests import Viewer
from series.models import CoinType, Issue, Issuer
from series.parcels import parcels
from series.text.folding import fold
from series.text.naming import joined
from series.text.words import years_text
from series.types.in_words import size_and_metal

MOST = 12
_LOOKED_AT = 400
_RANKED_BY = ("denomination__name", "name", "series__name", "series__issuer__name")


def enterable_types(viewer: Viewer) -> QuerySet[CoinType]:
    """The types a holding can be entered as, as they are named."""
    return access.enterable_types(viewer).select_related("denomination", "series__issuer")


def _nameable_types(viewer: Viewer) -> QuerySet[CoinType]:
    """Those the viewer sees, and those their own pieces are of already."""
    held = access.own_holdings(viewer).filter(coin_type__isnull=False).values("coin_type")
    seen = access.visible_types(viewer).values("pk")
    return CoinType.objects.filter(Q(pk__in=seen) | Q(pk__in=held)).select_related(
        "denomination", "series__issuer"
    )


def find_types(
    viewer: Viewer, text: str, limit: int = MOST, last: int | None = None
) -> list[CoinType]:
    """The types that all words of ``text`` point to, the likeliest first; see ``coin_words``.

    A word matches the beginning of a word of the type's search text (country, denomination,
    series, metal, legends, motifs, people); a year also matches the years of the type, and is
    left aside when nothing of the kind was struck in it. ``last`` is a type that goes first when
    nothing but a date was written. Three queries, as long as no type has changed.
    """
    asked = read_words(text)
    if not asked.terms:
        return []
    texts = type_texts()
    for terms in _ways(asked, text):
        rows = _enterable_rows(viewer, texts.found(terms))
        if rows:
            break
    worth = [texts.worth(term) for term in terms]
    rows.sort(key=lambda row: _rank(terms, worth, row))
    if asked.only_date:
        rows.sort(key=lambda row: row[0] != last)
    ids = [row[0] for row in rows[:limit]]
    found = {each.pk: each for each in enterable_types(viewer).filter(pk__in=ids)}
    return [found[pk] for pk in ids if pk in found]


def _ways(asked: Asked, text: str) -> Iterator[tuple[Term, ...]]:
    """What is asked for; with a country's foreign name as its code; then in whatever year."""
    yield asked.terms
    named = named_country(text)
    terms = asked.terms
    if named is not None:
        code = Term(((Word(fold(named.code), whole=True),),))
        terms = (*(term for term in terms if term.word not in named.words), code)
        yield terms
    if not asked.only_date:
        yield tuple(term for term in terms if term.year is None)


def _enterable_rows(viewer: Viewer, ids: list[int]) -> list[tuple[Any, ...]]:
    """The first _LOOKED_AT of these types that can be entered, with the words they rank by.

    One query, unless many cannot be entered.
    """
    rows: list[tuple[Any, ...]] = []
    for some in parcels(ids, _LOOKED_AT):
        found = enterable_types(viewer).filter(pk__in=some).order_by()
        by_id = {row[0]: row for row in found.values_list("pk", "denomination", *_RANKED_BY)}
        rows += [by_id[pk] for pk in some if pk in by_id]
        if len(rows) >= _LOOKED_AT:
            break
    return rows[:_LOOKED_AT]


def _rank(terms: Sequence[Term], worth: list[frozenset[int]], row: tuple[Any, ...]) -> Any:
    """Fewer words unexplained by the coin's name, then by its series and country, go first."""
    denomination, name, series, issuer = map(_folded_words, row[2:])
    whole = begun = around = 0
    for term, values in zip(terms, worth, strict=True):
        best = max(
            (
                sum(word in denomination for word, _ in form),
                sum(any(w.startswith(word) for w in denomination) for word, _ in form),
                sum(any(w.startswith(word) for w in (*name, *series, *issuer)) for word, _ in form),
            )
            for form in term.forms
        )
        if row[1] in values:
            best = max(best, (2, 2, 0))
        whole, begun, around = whole + best[0], begun + best[1], around + best[2]
    return (-whole, -begun - around, -around, len(denomination) + len(name), issuer, denomination)


@lru_cache(maxsize=20_000)
def _folded_words(name: str) -> tuple[str, ...]:
    return tuple(fold(name).split())


def type_label(coin_type: CoinType) -> str:
    """ "25 tinne, net — Second series, Halvern": what stands in the field once it is chosen."""
    series = coin_type.series
    return f"{coin_type} — {joined(series.name, series.issuer.name)}"


def type_options(types: list[CoinType], text: str = "") -> list[dict[str, Any]]:
    """What a list of types to choose from shows of each, with the date and grade written."""
    written = _written(types, text)
    return [
        {
            "type": each,
            "label": type_label(each),
            "words": _words_beside(each),
            "date": written[each.pk][0],
            "grade": written[each.pk][1],
        }
        for each in types
    ]


def _words_beside(coin_type: CoinType) -> str:
    """ "Halvern, First Marl, 1933–58 · 23.5 mm, copper-nickel"."""
    series = coin_type.series
    parts = [series.with_country, years_text(coin_type.first_year, coin_type.last_year)]
    return " · ".join([", ".join(part for part in parts if part), size_and_metal(coin_type)])


def _written(types: list[CoinType], text: str) -> dict[int, tuple[str, str]]:
    """The date and grade that a text gives for each of these types; a query if it has letters."""
    asked = read_words(text)
    labels: dict[int, list[str]] = defaultdict(list)
    if asked.after:
        issues = Issue.objects.filter(coin_type__in=types, withdrawn=False)
        for issue in issues.filter(shown=asked.date):
            labels[issue.coin_type_id].append(issue.label)
    return {
        each.pk: date_and_grade(asked, each.denomination.name, labels[each.pk]) for each in types
    }


def nothing_found(viewer: Viewer, text: str) -> str:
    """Why no coin answers to a text, and what to do: to begin a country that has no coins yet."""
    country = _without_types(viewer, text)
    if country is None:
        return _("No coin in the catalogue answers to “%(text)s”. Try fewer or shorter words.") % {
            "text": text
        }
    name, asked = country
    return format_html(
        '{} <a href="{}?{}">{}</a>',
        _("The catalogue has no coins of %(country)s yet.") % {"country": name},
        reverse("type-new"),
        urlencode(asked),
        _("Begin with this one"),
    )


def _without_types(viewer: Viewer, text: str) -> tuple[str, dict[str, str]] | None:
    """The country named in a text, if none of its coins can be entered, and how it is begun."""
    named = named_country(text)
    issuers = Issuer.objects.filter(series__types__in=enterable_types(viewer)).distinct()
    words = f" {fold(text)} "
    for issuer in Issuer.objects.exclude(pk__in=issuers.values("pk")):
        if f" {fold(issuer.name)} " in words or (named and issuer.code == named.code):
            return issuer.name, {"issuer": issuer.key}
    if named is None or issuers.filter(Q(code=named.code) | Q(name=named.name)).exists():
        return None
    return named.name, {"country": named.name}


@dataclass(frozen=True)
class TypeRead:
    """What a text in the type's field means: a type, or several to choose from, or neither.

    ``date`` and ``grade``: what was written of them with the type.
    """

    coin_type: CoinType | None = None
    choices: list[CoinType] = field(default_factory=list)
    error: str = ""
    date: str = ""
    grade: str = ""


def read_type(viewer: Viewer, text: str, chosen: str = "", picked: str = "") -> TypeRead:
    """The type meant by a field's text, the id chosen with it, and an id picked from a list.

    The id chosen counts as long as the text is still that type's label; so the field works with
    and without the page's script.
    """
    text = " ".join(text.split())
    for pk in ids_from([picked]):
        one = enterable_types(viewer).filter(pk=pk).first()
        if one is not None:
            return _with_date(TypeRead(one), text)
    if not text:
        return TypeRead()
    for pk in ids_from([chosen]):
        one = _nameable_types(viewer).filter(pk=pk).first()
        if one is not None and type_label(one) == text:
            return TypeRead(one)
    found = find_types(viewer, text)
    named = [each for each in found if fold(type_label(each)) == fold(text)]
    if len(found) == 1 or len(named) == 1:
        return _with_date(TypeRead((named or found)[0]), text)
    if found:
        return TypeRead(
            choices=found,
            error=_("Several coins answer to this: choose one of them, or write more of its name."),
        )
    return TypeRead(error=nothing_found(viewer, text))


def read_type_fields(viewer: Viewer, texts: Any) -> TypeRead:
    """The type meant by the fields of a form; what was found is put into them."""
    read = read_type(
        viewer,
        texts.get("type_text", ""),
        str(texts.get("coin_type", "")),
        texts.get("picked_type", ""),
    )
    texts["coin_type"] = str(read.coin_type.pk) if read.coin_type else ""
    if read.coin_type is not None:
        texts["type_text"] = type_label(read.coin_type)
    return read


def _with_date(read: TypeRead, text: str) -> TypeRead:
    """The type found with the date and grade that were written with it."""
    if read.coin_type is None or fold(text) == fold(type_label(read.coin_type)):
        return read
    date, grade = _written([read.coin_type], text)[read.coin_type.pk]
    return replace(read, date=date, grade=grade)
