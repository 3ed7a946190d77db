"""Reading packs: which keys may be used again."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from series.packs.checks import Known
from tests.series.packs.noted import mistakes

Files = Callable[..., dict[str, str]]


def test_records_of_other_packs_may_be_named(files: Files) -> None:
    types = files()["types.toml"].replace("herring-gull: on a post", "whale")
    assert mistakes(files(types=types), Known({"motifs": {"whale": "pack sea"}})) == []


def test_a_key_of_another_pack_is_refused(files: Files) -> None:
    found = mistakes(files(), Known({"mints": {"isle-mint": "pack sea"}}))
    assert found == [
        "money.toml, mint isle-mint: the key is in use already, by pack sea: choose another, or "
        "refer to it without describing it again."
    ]


@pytest.mark.parametrize(
    ("file", "where"), [("money", ""), ("more", " (the other is in money.toml)")]
)
def test_a_key_used_twice_is_refused_with_the_file_of_the_other(
    files: Files, file: str, where: str
) -> None:
    texts = files(more="")
    texts[f"{file}.toml"] += '[[motifs]]\nkey = "bird"\n'
    assert mistakes(texts) == [
        f"{file}.toml, motif bird: there is another motif with this key{where}: give it one of its "
        "own."
    ]


def test_a_motif_of_another_pack_may_be_described_again(files: Files) -> None:
    assert mistakes(files(), Known({"motifs": {"bird": "pack sea"}})) == []
