"""The texts of types in memory, held against the same search in SQL."""

from __future__ import annotations

import random
from fractions import Fraction
from typing import Any

import pytest
from django.db.models import F, Q

from catalogue.holdings.browse.filters import words_of
from catalogue.holdings.changes import note_everything
from catalogue.holdings.finding import type_index
from catalogue.holdings.finding.coin_words import read_words
from catalogue.holdings.finding.meanings import Meanings, Money
from catalogue.holdings.finding.type_index import type_texts
from catalogue.holdings.finding.type_words import SearchedType, TypeTexts
from catalogue.holdings.finding.typeahead import enterable_types, find_types
from catalogue.models import Member
from series.models import CoinType
from series.text.folding import fold
from series.types.editing import settle

pytestmark = pytest.mark.django_db

SYLLABLES = ("ha", "l", "tin", "ne", "gu", "25", "19", "é", "ß", "net", "1931")


def found_in_sql(viewer: Any, text: str) -> list[int]:
    """The rule of ``find_types`` as SQL has it, before ranking."""
    types = enterable_types(viewer)
    for word in words_of(text):
        match = Q(search_text__startswith=word) | Q(search_text__contains=f" {word}")
        if len(word) == 4 and word.isdecimal() and word[:2] in {"10", "19", "20"}:
            match |= Q(first_year__lte=int(word), last_year__gte=int(word))
        types = types.filter(match)
    latest_first = types.order_by(F("last_year").desc(nulls_last=True), "pk")
    return list(latest_first.values_list("pk", flat=True))


def some_words(chance: random.Random) -> str:
    words = ("".join(chance.choices(SYLLABLES, k=2)) for _ in range(chance.randrange(6)))
    return fold(" ".join(words))


@pytest.fixture
def many(coinage: Any) -> random.Random:
    chance = random.Random(25)
    CoinType.objects.bulk_create(
        CoinType(
            key=f"m{n}",
            series=coinage.series,
            denomination=coinage.denomination,
            search_text=some_words(chance),
            first_year=chance.choice((None, 1900, 1931, 1950)),
            last_year=chance.choice((None, 1931, 1960, 1999)),
            standing=chance.choice(("accepted", "accepted", "provisional", "proposed", "joined")),
        )
        for n in range(300)
    )
    return chance


def test_memory_and_sql_find_the_same_in_order(many: random.Random, member: Member) -> None:
    seen = 0
    for _ in range(150):
        words = ["".join(many.choices(SYLLABLES, k=many.randint(1, 2))) for _ in range(2)]
        text = " ".join(words[: many.randint(1, 2)])
        asked = read_words(text)
        if asked.after or any(term.amount for term in asked.terms):
            continue  # a mint's letters and an amount by itself are more than words
        here = type_texts().found(asked.terms)
        may = set(enterable_types(member).filter(pk__in=here).values_list("pk", flat=True))
        expected = found_in_sql(member, text)
        assert [pk for pk in here if pk in may] == expected, text
        if expected:  # else a year is left aside
            assert {each.pk for each in find_types(member, text, limit=400)} == set(expected)
        seen += bool(expected)
    assert seen > 50


def test_many_that_cannot_be_entered_do_not_hide_one_that_can(
    coinage: Any, member: Member, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("catalogue.holdings.finding.typeahead._LOOKED_AT", 2)
    for n in range(5):
        CoinType.objects.create(
            key=f"p{n}", series=coinage.series, denomination=coinage.denomination,
            search_text="gull", last_year=1999, standing="proposed",
        )  # fmt: skip
    CoinType.objects.filter(pk=coinage.type.pk).update(search_text="gull")
    assert find_types(member, "gull") == [coinage.type]


def test_a_changed_type_is_found_by_its_new_words_and_no_more_by_its_old(
    coinage: Any, member: Member
) -> None:
    settle([coinage.type.pk])
    assert find_types(member, "lighthouse") == []
    coinage.type.name = "lighthouse"
    coinage.type.save()
    settle([coinage.type.pk])
    assert find_types(member, "lighth") == [coinage.type]
    coinage.type.name = ""
    coinage.type.save()
    settle([coinage.type.pk])
    assert find_types(member, "lighth") == []


def test_after_a_change_of_one_type_only_that_one_is_read(
    coinage: Any, member: Member, monkeypatch: pytest.MonkeyPatch
) -> None:
    find_types(member, "25")
    read: list[int] = []
    true = type_index._words_of
    monkeypatch.setattr(
        type_index, "_words_of", lambda types: read.append(types.count()) or true(types)
    )
    settle([coinage.type.pk])
    find_types(member, "25")
    find_types(member, "25")
    assert read == [1]
    note_everything()
    find_types(member, "25")
    assert read == [1, CoinType.everything.count()]


def found(texts: TypeTexts, text: str) -> list[int]:
    return texts.found(read_words(text).terms)


def test_a_type_that_is_gone_points_nowhere() -> None:
    texts = TypeTexts.of([SearchedType(5, "gull", 1931, 1953), SearchedType(9, "gull", 1931, None)])
    assert found(texts, "gull") == [5, 9]
    assert found(texts.patched([], gone=[5, 77]), "gull") == [9]
    assert found(texts.patched([], gone=[5]), "1940") == []


def test_texts_worked_into_the_index_find_what_patched_ones_found() -> None:
    texts = TypeTexts.of([SearchedType(1, "net", None, None)])
    for n in range(2, 1500):
        texts = texts.patched([SearchedType(n, f"word{n} gull", None, n)])
    assert found(texts, "word1499") == [1499]
    assert found(texts, "gull") == list(range(1499, 1, -1))
    assert found(texts, "net") == [1]


@pytest.mark.parametrize(
    ("text", "ids"), [("6 groats", [5]), ("1/2 crown", [5]), ("6 pence", []), ("groats", [])]
)
def test_an_amount_finds_what_is_worth_it_by_whatever_name(text: str, ids: list[int]) -> None:
    money = [Money(1, ("crown",), Fraction(1)), Money(1, ("groats",), Fraction(12))]
    meanings = Meanings.of(money, [(7, 1, Fraction(1, 2)), (8, 1, Fraction(1))], [])
    types = [
        SearchedType(5, "half piece", None, None, denomination=7, currency=1),
        SearchedType(6, "whole piece", None, None, denomination=8, currency=1),
    ]
    assert found(TypeTexts.of(types, meanings), text) == ids
