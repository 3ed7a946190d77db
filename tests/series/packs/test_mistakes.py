"""Reading packs: every mistake is named with its place."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from series.packs.format import read_pack, said_in_head
from series.packs.reading import PackErrors
from tests.series.packs.noted import mistakes

Files = Callable[..., dict[str, str]]


# One change in the small pack: what is replaced, by what, and what the message must say.
MISTAKES: dict[str, tuple[str, str, str]] = {
    "no TOML": ('key = "isle"\ntitle', "key = isle\ntitle", "pack.toml: this is not TOML"),
    "no title": ('title = "Coins of the Isle"', "", "pack isle: title is missing: write title ="),
    "key with capitals": (
        'key = "isle-mint"',
        'key = "Isle Mint"',
        "mint Isle Mint: key is 'Isle Mint': a key is",
    ),
    "no key": ('key = "isle-mint"', "", "mint number 1 of the file: key is missing"),
    "key twice": (
        'key = "herring-gull"',
        'key = "bird"',
        "motif bird: there is another motif with this key",
    ),
    "unknown field": (
        "mass_g = 6.5",
        "mas_g = 6.5",
        "there is no field 'mas_g'; did you mean 'mass_g'?",
    ),
    "unknown field of a face": (
        "value_as",
        "value_in",
        "there is no field 'reverse.value_in'; did you mean 'value_as'?",
    ),
    "unknown table": ("[[mints]]", "[[mint]]", "there is no table 'mint'; the tables are"),
    "one bracket": ("[[mints]]", "[mints]", "write [[mints]], with two brackets"),
    "pack field elsewhere": (
        "\n[[issuers]]",
        'licence = "MIT"\n[[issuers]]',
        "'licence' belongs into pack.toml",
    ),
    "unknown series": (
        'series = "isle-first"',
        'series = "isle-frist"',
        "series names 'isle-frist', no series known; did you mean 'isle-first'?",
    ),
    "unknown motif": (
        "herring-gull: on a post",
        "whale",
        "obverse.motifs names 'whale', no motif known; describe it",
    ),
    "unknown person": (
        'designers = ["isle-ada-moy"]',
        'designers = ["nobody"]',
        "obverse.designers names 'nobody', no person known",
    ),
    "unknown source": (
        "isle-act: section 1",
        "other-act",
        "citations names 'other-act', no source known",
    ),
    "unknown mint of a mark": (
        'mint = "isle-mint"',
        'mint = "mint"',
        "marks names 'mint', no mint known",
    ),
    "like nothing": (
        'like = "isle-penny-gull"',
        'like = "isle-groat"',
        "like = 'isle-groat': that type is no",
    ),
    "like a list": ('like = "isle-penny-gull"', "like = []", "like = []: that type is no type"),
    "number in quotes": (
        "mass_g = 6.5",
        'mass_g = "6,5"',
        "mass_g is '6,5': write a number of g without quotes",
    ),
    "mass below zero": ("mass_g = 6.5", "mass_g = -6.5", "mass_g is -6.5: write g above 0"),
    "mass not a number": ("mass_g = 6.5", "mass_g = nan", "mass_g is NaN: write g above 0"),
    "heavier than any metal": (
        "mass_g = 6.5",
        "mass_g = 650",
        "mass_g 650 is more than any metal of 25.4 mm by 1.6 mm",
    ),
    "too fine": (
        "thickness_mm = 1.6",
        "thickness_mm = 1.60001",
        "thickness_mm is 1.60001: at most 3 decimals of mm are kept",
    ),
    "thicker than wide": (
        "thickness_mm = 1.6",
        "thickness_mm = 26",
        "thickness_mm 26 is not within the coin",
    ),
    "ring wider than the coin": (
        "alignment = 12",
        "ring_mm = 25.4\nalignment = 12",
        "ring_mm 25.4 is not within the coin (25.4 mm): write how wide the centre is.",
    ),
    "hole without its shape": (
        "alignment = 12",
        "hole_mm = 4\nalignment = 12",
        'write hole = "round" or "square"',
    ),
    "round with sides": (
        "alignment = 12",
        "sides = 7\nalignment = 12",
        "sides is given for a round coin",
    ),
    "polygon without sides": (
        "alignment = 12",
        'outline = "polygon"\nalignment = 12',
        "of how many sides?",
    ),
    "unknown outline": (
        "alignment = 12",
        'outline = "scaloped"\nalignment = 12',
        "outline is 'scaloped': did you mean 'scalloped'?",
    ),
    "alignment of thirteen hours": (
        "alignment = 12",
        "alignment = 13",
        "alignment is 13: write hours",
    ),
    "remedy above the mass": (
        "alignment = 12",
        "remedy_g = 7\nalignment = 12",
        "remedy_g 7 is not less than the mass",
    ),
    "clock past twelve": (
        "clock = 6",
        "clock = 13",
        "marks.clock is 13: write hours from 1 to 12.75 in quarters",
    ),
    "clock between quarters": (
        "clock = 6",
        "clock = 6.1",
        "marks.clock is 6.1: write hours from 1 to 12.75 in quarters",
    ),
    "mark without a face": (
        'side = "reverse", clock',
        "clock",
        "marks.side is missing for 'S'",
    ),
    "mark not described": (
        "1931–33, 1931 S",
        "1931–33, 1931 D",
        "dates: '1931 D' has a mark that is not among marks",
    ),
    "dates running backwards": ("1931–33,", "1933–1931,", "dates: '1933–1931'"),
    "dates unreadable": ("1931–33,", "193l,", "type isle-penny-gull: dates: "),
    "issue named twice": ("1931–33,", "1931–33, 1932,", "type isle-penny-gull: dates: "),
    "mintage of no issue": (
        '"1931" = 12000',
        '"1938" = 12000',
        "mintages '1938' is no issue of dates",
    ),
    "mintage in words": (
        '"1931" = 12000',
        '"1931" = "many"',
        "mintages.1931 is 'many': write the number struck",
    ),
    "mintage of what was not struck": (
        '"1931" = 12000',
        '"1940" = 12000',
        "'1940' is not struck, yet 12000 were made",
    ),
    "years beside dates": (
        "alignment = 12",
        'years = "1931–53"\nalignment = 12',
        "years come from the dates",
    ),
    "years backwards": ('years = "1900–"', 'years = "1900–1890"', "issuer isle: years: "),
    "years in words": ('years = "1900–"', 'years = "always"', "years is 'always': write"),
    "value not exact": (
        'value = "1/20"',
        "value = 0.05",
        "denomination isle-shilling: value is 0.05: it must be exact: write a whole number or",
    ),
    "value of nothing": ('value = "1/20"', "value = 0", "value is 0: it must be exact"),
    "value too large": ('value = "1/20"', f"value = {2**63}", "the figures are too long"),
    "value too long": (
        'value = "1/20"',
        'value = "1/12345678901234567890"',
        "figures are too long",
    ),
    "unit not exact": (
        "shilling = 20",
        "shilling = 20.5",
        "units.per_main is 20.5: it must be exact",
    ),
    "rate without successor": (
        "units = {",
        'rate = "2"\nunits = {',
        "rate is given without a successor",
    ),
    "rate unreadable": (
        "units = {",
        'successor = "isle-pound"\nrate = "two"\nunits = {',
        "rate is 'two': write the exact",
    ),
    "successor of itself": (
        "units = {",
        'successor = "isle-pound"\nunits = {',
        "currency isle-pound: successor leads back to 'isle-pound' itself",
    ),
    "broader in a circle": (
        'key = "bird"',
        'key = "bird"\nbroader = ["herring-gull"]',
        "motif bird: broader leads back to 'bird' itself",
    ),
    "date of birth left open": ("1889~", "..", "person isle-ada-moy: born: "),
    "date of birth unreadable": ("1889~", "the eighties", "person isle-ada-moy: born: "),
    "country code": (
        'name = "Isle"',
        'name = "Isle"\ncode = "isl"',
        "a country code is two capitals",
    ),
    "currency code": (
        'name = "pound"',
        'name = "pound"\ncode = "£"',
        "a currency code is three capitals",
    ),
    "script": ('script = "Arab"', 'script = "arabic"', "write an ISO 15924 code, like Arab"),
    "legend of numbers": ('"ISLE"', "5", "obverse.legends is 5: write"),
    "motif twice": (
        '["herring-gull: on a post"]',
        '["bird", "bird: small"]',
        "obverse.motifs names 'bird' twice",
    ),
    "price note without a year": ("year = 1931, ", "", "price_notes.year is missing"),
    "variety without a name": (
        'key = "wide-3", name = "wide 3"',
        'key = "wide-3"',
        "varieties.name is missing",
    ),
    "issue without a date": ('date = "1953 S proof"\n', "", "issues.date is missing"),
    "issue of no date": (
        'date = "1953 S proof"',
        'date = ""',
        'issues.date is empty: write date = "n.d. (1890–95)" if undated.',
    ),
    "reference without a number": (', number = "14"', "", "references.number is missing"),
    "denomination of other money": (
        'value = "1/20"',
        'value = "1/20"\n[[currencies]]\nkey = "crown"\nname = "crown"\nissuers = ["isle"]\n'
        '[[denominations]]\nkey = "crown-1"\nname = "crown"\nvalue = 1\ncurrency = "isle-crown"',
        "currency names 'isle-crown', no currency known",
    ),
    "text too long": ('name = "Harbour"', f'name = "{"x" * 121}"', "name has 121 characters"),
}


@pytest.mark.parametrize("name", MISTAKES)
def test_a_mistake_is_named_with_its_place(files: Files, name: str) -> None:
    old, new, says = MISTAKES[name]
    assert any(old in text for text in files().values()), "the small pack has changed"
    texts = {file: text.replace(old, new) for file, text in files().items()}
    found = mistakes(texts)
    assert any(says in mistake for mistake in found), found
    assert all(mistake.split(":")[0].split(",")[0].endswith(".toml") for mistake in found)


def test_all_mistakes_are_reported_together(files: Files) -> None:
    texts = files(
        money=files()["money.toml"].replace('value = "1/20"', "value = 0.05"),
        types=files()["types.toml"].replace("clock = 6", "clock = 13"),
    )
    found = mistakes(texts)
    assert any(text.startswith("money.toml, denomination isle-shilling:") for text in found)
    assert any(text.startswith("types.toml, type isle-penny-gull:") for text in found)


def test_a_rung_not_struck_contradicts_a_type(files: Files) -> None:
    money = files()["money.toml"] + '[series.rungs]\nisle-shilling = "not struck"\n'
    assert "its series says that 'isle-shilling' was not struck" in mistakes(files(money=money))[0]


def test_a_rung_must_be_within_the_years_of_its_series(files: Files) -> None:
    money = files()["money.toml"] + 'years = "1920–40"\n[series.rungs]\nisle-penny = "1931–53"\n'
    assert mistakes(files(money=money)) == [
        "money.toml, series isle-first: rungs.isle-penny: its years are not within the series' own."
    ]


def test_money_of_series_and_denomination_must_agree(files: Files) -> None:
    money = (
        files()["money.toml"]
        + """
[[currencies]]
key = "isle-crown"
name = "crown"
issuers = ["isle"]
[[denominations]]
key = "isle-1-crown"
name = "crown"
currency = "isle-crown"
value = 1
"""
    )
    types = files()["types.toml"].replace(
        'denomination = "isle-shilling"', 'denomination = "isle-1-crown"'
    )
    found = mistakes(files(money=money, types=types))
    assert "'isle-1-crown' is of currency 'isle-crown', its series of 'isle-pound'" in found[0]


def test_types_like_each_other_in_a_circle(files: Files) -> None:
    types = files()["types.toml"].replace(
        'composition = "bronze"', 'like = "isle-shilling-gull"\ncomposition = "bronze"'
    )
    assert "is like itself in the end" in mistakes(files(types=types))[0]


def test_a_pack_without_pack_toml() -> None:
    assert mistakes({"a.toml": ""})[0].startswith("pack.toml: the file is missing")


# What each text may be at most, by the column that keeps it.
FIELDS: dict[str, dict[str, Any]] = {
    "issuers": {"name": "n"},
    "currencies": {"name": "n", "plural": "", "symbol": "", "issuers": ["isle"]},
    "denominations": {"name": "n", "currency": "isle-pound", "value": 1},
    "mints": {"name": "n", "town": ""},
    "people": {"name": "n", "signature": ""},
    "motifs": {"name": "n"},
    "series": {"name": "n", "issuer": "isle", "currency": "isle-pound"},
    "types": {
        "series": "isle-first", "denomination": "isle-penny", "name": "", "inner_panel": "",
        "edge": "", "exchange_where": "", "exchange_rate": "",
        "remedy_law": "", "size_law": "",
    },
}  # fmt: skip


@pytest.mark.parametrize(
    ("kind", "name"),
    [
        (kind, name)
        for kind, fields in FIELDS.items()
        for name, value in fields.items()
        if value in ("", "n")
    ],
)
def test_texts_are_as_long_as_their_column_keeps(files: Files, kind: str, name: str) -> None:
    from series.packs.toml_text import line
    from series.packs.writing_back import MODELS

    longest = MODELS[kind]._meta.get_field(name).max_length

    def with_text(length: int) -> dict[str, str]:
        fields = {"key": "isle-more", **FIELDS[kind], name: "x" * length}
        record = "\n".join(line(key, value) for key, value in fields.items() if value)
        return files() | {"more.toml": f"[[{kind}]]\n{record}\n"}

    assert mistakes(with_text(longest)) == []
    assert f"{name} has {longest + 1} characters" in mistakes(with_text(longest + 1))[0]


def test_key_lengths_match_their_columns() -> None:
    from series.dates.issue_keys import LONGEST
    from series.models import Issue, Pack, Variety
    from series.packs.writing_back import MODELS

    assert {model._meta.get_field("key").max_length for model in MODELS.values()} == {120}
    assert Pack._meta.get_field("key").max_length == 60
    assert Issue._meta.get_field("key").max_length == LONGEST
    assert Variety._meta.get_field("key").max_length == LONGEST


@pytest.mark.parametrize("deep", ["a = " + "[" * 9_000, "a = " + "{b = " * 9_000])
def test_tables_nested_without_end_are_refused_in_words(deep: str) -> None:
    files = {"pack.toml": 'key = "isle"\ntitle = "Isle"\n', "deep.toml": deep}
    with pytest.raises(PackErrors, match="too deep"):
        read_pack(files)
    assert said_in_head({"pack.toml": deep}, "key") == ""
