"""Invented legends for benches: words with letters and runs as varied as those of real coins."""

from __future__ import annotations

import random

from series.legends.spellings import StruckText

ONSETS = [*"BCDFGHKLMNPRSTVW", "BR", "CH", "CL", "CR", "DR", "FL", "GL", "GR", "PL", "PR", "QU"]
ONSETS += ["SC", "SH", "SK", "ST", "TH", "TR", ""]
VOWELS = [*"AAAEEEEIIIOOU", "AE", "AU", "EA", "EI", "IA", "IE", "OU", "OI", "UE"]
CODAS = ["", "", "", *"NRSTLMDC", "NS", "ND", "NT", "RS", "RT", "ST", "LL", "NG", "CT", "X"]
SHARED = ["REPUBLIC", "REPUBLIQUE", "REPUBLICA", "KINGDOM", "FEDERATION", "STATE", "BANK", "REX"]
SHARED += ["REGINA", "DEI", "GRATIA", "LIBERTY", "GOD", "TRUST", "ONE", "FIVE", "TEN", "TWENTY"]
SHARED += ["CENT", "CENTS", "POUND", "SHILLING", "PENNY", "CROWN", "FRANC", "MARK", "PESO", "LIRA"]
SHARED += ["UNITED", "ISLANDS", "NATIONAL", "CENTRAL", "INDEPENDENCE", "ANNIVERSARY"]


def made_word(chance: random.Random) -> str:
    parts = chance.choices((1, 2, 3, 4), (1, 5, 4, 1))[0]
    return "".join(
        chance.choice(ONSETS) + chance.choice(VOWELS) + chance.choice(CODAS) for _ in range(parts)
    )


def made_texts(chance: random.Random, count: int) -> list[str]:
    """So many different legends of one to four words, some words shared; a few long ones."""
    found: dict[str, None] = {}
    while len(found) < count:
        words = 10 if chance.random() < 0.02 else chance.choices((1, 2, 3, 4), (3, 4, 2, 1))[0]
        found[
            " ".join(
                chance.choice(SHARED) if chance.random() < 0.2 else made_word(chance)
                for _ in range(words)
            )
        ] = None
    return list(found)


def shared_catalogue(seed: int, types: int) -> list[list[StruckText]]:
    """Each type bears two legends that other types bear too and one of its own."""
    chance = random.Random(seed)
    shared = made_texts(chance, types // 10)
    return [
        [
            *(
                StruckText(shared[int(len(shared) * chance.random() ** 3)], "Latn")
                for _ in range(2)
            ),
            StruckText(own, "Latn"),
        ]
        for own in made_texts(chance, types)
    ]


def unique_catalogue(seed: int, types: int) -> list[list[StruckText]]:
    """Each type bears two legends of its own."""
    texts = made_texts(random.Random(seed), 2 * types)
    return [
        [StruckText(one, "Latn"), StruckText(other, "Latn")]
        for one, other in zip(texts[::2], texts[1::2], strict=True)
    ]
