"""What holds of every talk: each sentence rests on the fields it cites, and on nothing else."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from series.differences.facts import TypeFacts
from series.telling import words
from series.telling.sentences import Sentence
from series.telling.story import (
    CountryOpening,
    FaceTold,
    MotifTold,
    Opening,
    PieceTold,
    SeriesOpening,
    Story,
)
from series.telling.talk import paragraphs, tell
from series.text.english import NUMBERS, outline_words
from tests.series.telling.told_of import PATHS, stories, talks, value_of, with_field

_WHOLE = {"earlier.motifs": r"faces\.\w+\.motifs", "earlier.legends": r"faces\.\w+\.legends"}
openings = st.sampled_from(
    [None, CountryOpening("Quorn"), SeriesOpening("First Quest", "Quorn"), SeriesOpening("Quint")]
)


def _covers(cites: tuple[str, ...], path: str, since: int) -> bool:
    """Whether one of the cites is a field so many coins back (0: of the coin itself)."""
    if since == 0:
        return path in cites
    wanted = [f"earlier.{path}", *([f"before.{path}"] if since == 1 else [])]
    if any(each in cites for each in wanted):
        return True
    return any(whole in cites and re.fullmatch(pattern, path) for whole, pattern in _WHOLE.items())


def _sentences(stops: list[Any]) -> list[set[Sentence]]:
    return [set(told.sentences) for told in tell(stops, says_worth=True)]


@settings(max_examples=100)
@given(talks, stories, st.sampled_from(PATHS), st.integers(0, 4), openings)
def test_changing_one_field_changes_only_sentences_that_cite_it(
    coins: list[Story], other: Story, path: str, which: int, opening: Opening | None
) -> None:
    which %= len(coins)
    changed = list(coins)
    changed[which] = with_field(coins[which], path, value_of(other, path))
    for place in {1, len(coins) - 1} if opening else set():
        coins, changed = ([*some[:place], opening, *some[place:]] for some in (coins, changed))
    at = next(n for n in range(len(coins)) if coins[n] != changed[n]) if coins != changed else 0
    since = -1
    for number, (was, now) in enumerate(zip(*map(_sentences, (coins, changed)), strict=True)):
        if not isinstance(coins[number], Story):
            assert was == now
            continue
        since = since + 1 if number > at else 0 if number == at else -1
        for sentence in was ^ now:
            assert since >= 0, "an earlier stop changed"
            assert _covers(sentence.cites, path, since), (path, since, sentence)


@settings(max_examples=100)
@given(talks)
def test_no_two_neighbouring_stops_repeat_a_sentence(coins: list[Story]) -> None:
    told = [{said.text for said in at.sentences} for at in tell(coins, says_worth=True)]
    for before, after in pairwise(told):
        assert not before & after


@settings(max_examples=50)
@given(talks)
def test_a_stop_says_nothing_twice_and_has_each_key_once(coins: list[Story]) -> None:
    for at in tell(coins, says_worth=True):
        keys = Counter(said.key for said in at.sentences)
        assert not [key for key, count in keys.items() if count > 1]
        texts = Counter(said.text for said in at.sentences)
        assert not [text for text, count in texts.items() if count > 1]


@given(stories)
def test_two_equal_types_give_no_changed_sentence(coin: Story) -> None:
    other = replace(coin, key="other", name=f"{coin.name} quick", country=coin.country)
    told = tell([coin, other])[1]
    assert told.before == 0
    assert (told.wall, told.news) == ("", 0)
    assert {said.key for said in told.sentences} <= {
        "coin.what", "coin.again", "piece.date", "piece.wear"
    }  # fmt: skip


@settings(max_examples=20)
@given(talks)
def test_a_stop_without_a_record_changes_nothing_around_it(coins: list[Story]) -> None:
    apart = [stop for coin in coins for stop in (coin, None)]
    assert [told.sentences for told in tell(apart)][::2] == [t.sentences for t in tell(coins)]


# ---- nothing is asserted that no record holds ----
_PLAIN = set(
    re.findall(
        r"\S+",
        """
    a about across added again an and another apart are as at be been before bust by came can
    coin coins commemorative dated date dates designed edge engraved facing finer flat from gone
    grade hardly has have highest hijri calendar hole in is it its just know known last left
    legend letters lines lost lustre mark mint moved much no not now obverse of on one only or
    over parts piece place points press proof raised read reads reverse right same second series
    signature size still struck that the there those to told too turned type types until value
    variety was wear were what where which with worn year years arabic left look lustre showed
    so far little within them stand outlines but had their this o'clock half past quarter round
    thousandths millimetre millimetres gram grams smaller larger lighter heavier centre ring
    numerals words been apart suffered without fine silver square three quarters tenth tenths
    board first stands worth near
    """,
    )
)
"""Words of the sentences that name nothing: grammar, and the words of every coin."""


@settings(max_examples=60)
@given(talks)
def test_no_sentence_names_what_no_record_holds(coins: list[Story]) -> None:
    for number, at in enumerate(tell(coins, says_worth=True)):
        for said in at.sentences:
            back = any(cite.startswith("earlier.") for cite in said.cites)
            since = any(cite.startswith("before.") for cite in said.cites)
            within = coins[0 if back else max(number - 1, 0) if since else number : number + 1]
            recorded = _recorded(within, number)
            foreign = {word for word in _words(said.text) if word not in recorded | _PLAIN}
            assert not foreign, (foreign, said)


def _words(text: str) -> list[str]:
    found = []
    for word in re.findall(r"[\w.]+(?:['’]\w+)?", text.replace("-", " ").lower()):
        found.append(word.strip("."))
    return [word for word in found if word]


def _recorded(coins: list[Story], number: int) -> set[str]:
    """Every word of these records; every number of theirs, and the differences of measures."""
    found: set[str] = set()
    for coin in coins:
        found |= {word for text in _texts(coin) for word in _words(text)}
        found |= set(_words(outline_words(coin.body.outline, coin.body.sides)))
    numbers = {Fraction(n) for coin in coins for n in _numbers(coin)} | {Fraction(number + 1)}
    apart = {abs(a - b) for a in numbers for b in numbers if max(a, b) < 100}
    near = {
        rounded
        for n in numbers | apart
        for rounded in (n, Fraction(round(n * 2), 2), Fraction(int(n)), n % 1 * 10)
    }
    return found | {word for n in near for word in _number_words(n)}


def _texts(value: Any) -> list[str]:
    if isinstance(value, str):
        return [value]
    if isinstance(value, list | tuple):
        return [text for each in value for text in _texts(each)]
    if hasattr(value, "__dataclass_fields__"):
        return [text for name in value.__dataclass_fields__ for text in _texts(
            getattr(value, name))]  # fmt: skip
    return []


def _numbers(coin: Story) -> list[Any]:
    body, date = coin.body, coin.date
    found = [body.diameter_mm, body.mass_g, body.thickness_mm, body.ring_mm, body.sides]
    found += [coin.first_year, coin.last_year, 25, 5]
    if date is not None:
        found += [date.struck_from, date.struck_to, date.mintage, len(date.run), 1350]
        found += [date.place[0] if date.place else None]
    found += [mark.clock for mark in coin.marks]
    return [each for each in found if each is not None]


def _number_words(value: Fraction) -> list[str]:
    found = [str(value), str(float(value)), words.times(value)]
    if value.denominator == 1 and value > 0:
        found += [words.ordinal(int(value)), f"{int(value):,}"]
    return [word for text in found for word in _words(text)]


def test_the_words_that_name_nothing_hold_no_metal_and_no_number() -> None:
    assert not _PLAIN & (set(NUMBERS) - {"one", "three"})
    assert not _PLAIN & {"bronze", "copper", "gold", "lighthouse", "net", "steel", "aluminium"}


# ---- a talk as it is told ----
def test_a_sentence_begins_large_and_ends_with_a_stop() -> None:
    coin = Story("a", "25 tinne", "Halvern", "marl", first_year=1931, last_year=1958)
    (what,) = tell([coin])[0].sentences
    assert what.text == "The twenty-five tinne of Halvern, struck from 1931 to 1958."


def test_a_second_and_third_piece_of_one_type_are_counted() -> None:
    coin = Story("a", "25 tinne", "Halvern")
    texts = [told.sentences[0].text for told in tell([coin, coin, coin])]
    assert texts[1:] == [
        "A second piece of the same type.",
        "A third piece of the same type.",
    ]


def test_after_a_country_nothing_is_compared_with_what_came_before_it() -> None:
    coin = Story("a", "25 tinne", "Halvern")
    told = tell([coin, CountryOpening("Ouran"), replace(coin, country="Ouran")])
    assert told[2].before is None
    assert told[2].sentences[0].text == "The twenty-five tinne again."


def test_after_a_series_the_same_denomination_is_compared_and_another_is_not() -> None:
    coin, opening = Story("a", "25 tinne", "Halvern"), SeriesOpening("Reform")
    same = tell([coin, opening, replace(coin, series="Reform")])
    other = tell([coin, opening, replace(coin, series="Reform", denomination="1 marl")])
    assert (same[2].before, other[2].before) == (0, None)


def test_designs_of_two_countries_are_told_apart() -> None:
    def coin(country: str, motif: str) -> Story:
        faces = (FaceTold("obverse", f"A {motif}.", motifs=(MotifTold(motif),)),)
        return Story("a", "1 crown", country, faces=faces, body=TypeFacts(edge=motif))

    texts = [
        said.text for said in tell([coin("Halvern", "net"), coin("Ouran", "dhow")])[1].sentences
    ]
    assert "On the obverse, a dhow." in texts
    assert not [text for text in texts if "net" in text]


def test_what_a_coin_is_worth_is_told_only_in_a_talk_that_says_it() -> None:
    coin = Story("a", "25 tinne", piece=PieceTold(worth="about 40 euro"))
    quiet, told = (
        [s.text for s in tell([coin], says_worth=says)[0].sentences] for says in (False, True)
    )
    assert "It is worth about 40 euro." not in quiet
    assert told == [*quiet, "It is worth about 40 euro."]


@settings(max_examples=20)
@given(talks)
def test_paragraphs_hold_every_sentence_once_in_order(coins: list[Story]) -> None:
    for at in tell(coins):
        assert " ".join(paragraphs(at.sentences)) == " ".join(said.text for said in at.sentences)
