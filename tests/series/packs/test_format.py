"""Reading packs: the small pack is understood."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from series.entries.tables import KINDS, PackEntry
from series.packs.checks import Known
from series.packs.format import read_pack

Files = Callable[..., dict[str, str]]


@pytest.fixture
def pack(files: Files) -> PackEntry:
    return read_pack(files())


def test_it_works(pack: PackEntry) -> None:
    assert (pack.key, pack.title) == ("isle", "Coins of the Isle")
    assert [each.key for each in pack.types] == ["isle-penny-gull", "isle-shilling-gull"]
    assert [each.per_main for each in pack.currencies[0].units] == [20, 240]
    assert pack.denominations[0].value == Fraction(1, 240)


def test_issues_come_from_the_date_run(pack: PackEntry) -> None:
    issues = {issue.key: issue for issue in pack.types[0].issues}
    assert list(issues) == ["1931", "1931-s", "1932", "1933", "1940", "1952", "1953-s-proof"]
    assert (issues["1952"].shown, issues["1952"].struck_from) == ("1952", 1953)
    assert issues["1940"].fact == "not_struck"
    assert issues["1931"].mintage == 12000
    assert issues["1931-s"].marks == ("mint/reverse/S",)


def test_an_issue_with_more_to_say_joins_the_run(pack: PackEntry) -> None:
    proof = pack.types[0].issues[-1]
    assert (proof.purpose, proof.mintage) == ("proof", 25)
    assert proof.references[0].number == "14"
    assert proof.varieties[0].key == "wide-3"


def test_a_like_type_takes_over_what_it_does_not_say(pack: PackEntry) -> None:
    penny, shilling = pack.types
    assert shilling.thickness_mm == penny.thickness_mm
    assert shilling.diameter_mm == Decimal("23.5")
    assert shilling.obverse.legends == penny.obverse.legends
    assert (penny.obverse.border, shilling.obverse.border) == ("", "beaded")
    assert [issue.key for issue in shilling.issues] == ["1931", "1932"]
    assert shilling.issues[0].mintage is None


def test_defaults_of_a_file_are_overruled_by_the_record(files: Files) -> None:
    texts = files()
    texts["more.toml"] = """
[defaults.mints]
issuer = "isle"
town = "Port"
[[mints]]
key = "isle-north"
name = "North"
[[mints]]
key = "isle-south"
name = "South"
town = ""
"""
    mints = {mint.key: mint for mint in read_pack(texts).mints}
    assert (mints["isle-north"].issuer, mints["isle-north"].town) == ("isle", "Port")
    assert mints["isle-south"].town == ""
    assert mints["isle-mint"].town == ""


def test_rungs_and_years_follow_from_the_types(pack: PackEntry) -> None:
    series = pack.series[0]
    rungs = {rung.denomination: (rung.first_year, rung.last_year) for rung in series.rungs}
    assert rungs == {"isle-penny": (1931, 1953), "isle-shilling": (1931, 1932)}
    assert (series.first_year, series.last_year) == (1931, 1953)


def test_a_written_rung_stands(files: Files) -> None:
    money = (
        files()["money.toml"]
        + """
[series.rungs]
isle-penny = { years = "1930–60", note = "as planned" }
"""
    )
    rung = read_pack(files(money=money)).series[0].rungs[0]
    assert (rung.first_year, rung.last_year, rung.note) == (1930, 1960, "as planned")


def test_a_series_with_a_rung_still_struck_has_no_end(files: Files) -> None:
    money = files()["money.toml"] + '[series.rungs]\nisle-penny = { years = "1930–" }\n'
    series = read_pack(files(money=money)).series[0]
    assert (series.first_year, series.last_year) == (1930, None)


def test_written_years_of_a_series_stand_though_their_end_is_open(files: Files) -> None:
    money = files()["money.toml"] + 'years = "1930–"\n'
    series = read_pack(files(money=money)).series[0]
    assert (series.first_year, series.last_year) == (1930, None)


def test_a_face_may_be_like_that_of_another_type(files: Files) -> None:
    types = (
        files()["types.toml"]
        + """
[[types]]
key = "isle-penny-plain"
series = "isle-first"
denomination = "isle-penny"
obverse = { like = "isle-shilling-gull", border = "linear" }
"""
    )
    plain = {each.key: each for each in read_pack(files(types=types)).types}["isle-penny-plain"]
    assert plain.obverse.motifs[0].motif == "herring-gull"
    assert plain.obverse.border == "linear"
    assert plain.reverse.description == ""


def test_a_type_may_be_like_one_of_the_pack_that_its_own_needs(files: Files) -> None:
    needed = {each.key: each for each in read_pack(files()).types}
    texts = {
        "pack.toml": 'key = "shore"\ntitle = "Shore"\nneeds = "isle"\n',
        "types.toml": """
[[issuers]]
key = "shore"
name = "Shore"

[[series]]
key = "shore-first"
name = "First"
issuer = "shore"
currency = "isle-pound"

[defaults.types]
series = "shore-first"
years = "1950–"
note = "Of the shore."

[[types]]
key = "shore-penny"
like = "isle-penny-gull"
obverse.description = "A crab."
""",
    }
    isle = read_pack(files())
    outside = {
        kind: dict.fromkeys((each.key for each in getattr(isle, kind)), "pack isle")
        for kind in ("sources", *KINDS)
    }
    (penny,) = read_pack(texts, Known(outside, alike=needed)).types
    model = needed["isle-penny-gull"]
    assert (penny.mass_g, penny.reverse, penny.marks) == (model.mass_g, model.reverse, model.marks)
    assert (penny.series, penny.first_year, penny.issues) == ("shore-first", 1950, ())
    assert (penny.note, penny.obverse.description) == ("Of the shore.", "A crab.")
    assert penny.obverse.motifs == model.obverse.motifs


def test_an_edge_may_be_a_table(files: Files) -> None:
    types = files()["types.toml"].replace(
        'edge = "plain"', 'edge = { finish = "fine reeding", legends = ["FROM THE SEA"] }'
    )
    coin = read_pack(files(types=types)).types[0]
    assert coin.edge == "fine reeding"
    assert coin.edge_face.legends[0].text == "FROM THE SEA"


def test_marks_of_one_text_are_told_apart_by_their_ids(files: Files) -> None:
    types = (
        files()["types.toml"]
        .replace("marks = [", 'marks = [{ id = "So", text = "S", side = "obverse" }, "star", ')
        .replace('dates = "1931–33,', 'dates = "1931–33, 1934 So, 1935 +star,')
    )
    issues = {issue.key: issue for issue in read_pack(files(types=types)).types[0].issues}
    assert issues["1934-s"].marks == ("mint/obverse/S",)
    assert issues["1935-star"].marks == ("star",)


def test_a_rate_keeps_all_its_figures(files: Files) -> None:
    money = (
        files()["money.toml"].replace(
            "units = {",
            'successor = "new-pound"\nrate = 340.750\nrate_from = 2001-01-01\nunits = {',
        )
        + '[[currencies]]\nkey = "new-pound"\nname = "new pound"\nissuers = ["isle"]\n'
    )
    currency = read_pack(files(money=money)).currencies[0]
    assert (currency.rate, currency.rate_from) == ("340.750", date(2001, 1, 1))
