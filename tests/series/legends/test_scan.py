"""The index in a collection too large to look everywhere: what it finds, and what it may miss."""

from __future__ import annotations

import random

import numpy as np
import pytest

from series.legends import scan
from series.legends.index import TOLERANCE, LegendIndex
from series.legends.letters import letters, piece_letters
from series.legends.spellings import StruckText
from tests.series.legends.plain_model import plain_log_likelihoods

WORDS = ["HALVERN", "SALTMOUTH", "REPUBLIC", "LIBERTY", "CARROW", "DUNHEAD", "TINNE", "MARL"]
WORDS += ["NORTHGATE", "ISLANDS", "SKERRY"]


@pytest.fixture
def narrow(monkeypatch: pytest.MonkeyPatch) -> None:
    """So little is looked at that a small collection is a large one."""
    monkeypatch.setattr(scan, "STARTS", 60)
    monkeypatch.setattr(scan, "PLACES", 400)


def made_types(chance: random.Random) -> list[list[StruckText]]:
    return [
        [
            StruckText(" ".join(chance.sample(WORDS, 2)), "Latn"),
            StruckText("".join(chance.choices("AEIOULNRSTDMK", k=chance.randint(4, 14))), "Latn"),
        ]
        for _ in range(40)
    ]


def worn(chance: random.Random, text: str) -> str:
    """Six to nine letters from somewhere on a text; one is unread, one mistaken or left out."""
    start, length = chance.randrange(len(text)), chance.randint(6, 9)
    read = [text[(start + step) % len(text)] for step in range(length)]
    read[chance.randrange(length)] = "?"
    if chance.random() < 0.5:
        read[chance.randrange(length)] = chance.choice("abcdeghiklmnoprst")
    else:
        del read[chance.randrange(length)]
    return piece_letters("".join(read))


@pytest.mark.usefixtures("narrow")
@pytest.mark.parametrize("seed", range(12))
def test_in_a_large_collection_the_best_type_is_that_of_the_plain_model(seed: int) -> None:
    chance = random.Random(seed)
    types = made_types(chance)
    index = LegendIndex.of(types)
    assert index.scanner.texts.sizes.sum() > 10 * scan.STARTS
    text = letters(chance.choice(chance.choice(types)).text)
    piece = worn(chance, text)
    ours = index.weigh([piece]).types
    plain = np.array(plain_log_likelihoods([piece], types)[0])
    best = int(np.argmax(plain))
    assert ours[best] == pytest.approx(ours.max(), abs=0.01)
    assert plain[best] - TOLERANCE <= ours[best] <= plain[best] + 1e-6
    assert np.all(ours <= plain + 1e-6)


@pytest.mark.usefixtures("narrow")
@pytest.mark.parametrize("piece", ["s??t", "k?m", "zz", "qxzk", "aeiou" * 5, "e?r??n"])
def test_a_place_with_nothing_mistaken_is_always_found(piece: str) -> None:
    types = made_types(random.Random(4))
    full = piece.replace("?", "o")
    types[17] = [StruckText(full, "Latn")]
    found = LegendIndex.of(types).weigh([piece]).types
    plain, _ = plain_log_likelihoods([piece], types)
    assert found[17] == pytest.approx(plain[17], abs=0.2)


def test_what_several_runs_promise_of_one_place_is_summed() -> None:
    keys = np.array([6 * 256 + 1, 5 * 256 + 7, 9 * 256 + 255, 5 * 256 + 9])
    places, promise = scan._gathered(keys)
    assert (places.tolist(), promise.tolist()) == ([5, 6, 9], [16, 1, 255])


def test_without_texts_nothing_is_found() -> None:
    scanner = scan.Scanner.of(scan.Texts.of([]))
    assert scanner.scan("halvern", 0.02, 1e-9).tolist() == []
