"""Dumping packs: what is read again is the same, and so is what is written again."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from series.entries import tables as e
from series.entries.flat import trimmed
from series.models import CoinType, Issue, Pack
from series.packs.dump import dump_pack
from series.packs.fields import years
from series.packs.format import read_pack
from series.packs.load import load_pack
from series.packs.reading import PackErrors, Table
from series.packs.writing import write_pack

Files = Callable[..., dict[str, str]]
Folder = Callable[..., Path]


def texts(folder: Path) -> dict[str, str]:
    return {path.name: path.read_text("utf-8") for path in sorted(folder.glob("*.toml"))}


@pytest.mark.django_db
def test_it_works(folder: Folder, tmp_path: Path) -> None:
    load_pack(folder())
    written = dump_pack("isle", tmp_path / "out")
    assert [path.name for path in written] == [
        "pack.toml", "money.toml", "people.toml", "series-isle-first.toml",
    ]  # fmt: skip
    assert 'dates = "1931–33, 1931 S, ' not in (tmp_path / "out/series-isle-first.toml").read_text()


@pytest.mark.django_db
def test_loading_a_dump_changes_nothing(folder: Folder, tmp_path: Path) -> None:
    load_pack(folder())
    dump_pack("isle", tmp_path / "out")
    report = load_pack(tmp_path / "out")
    assert (report.changed_anything, report.kept) == (False, [])


@pytest.mark.django_db
def test_dumping_a_loaded_dump_gives_the_same_bytes(folder: Folder, tmp_path: Path) -> None:
    load_pack(folder())
    dump_pack("isle", tmp_path / "out")
    CoinType.everything.all().delete()
    Pack.objects.all().delete()
    for kind in reversed(e.KINDS):
        from series.packs.writing_back import MODELS

        MODELS[kind].everything.all().delete()
    load_pack(tmp_path / "out")
    dump_pack("isle", tmp_path / "again")
    assert texts(tmp_path / "again") == texts(tmp_path / "out")


@pytest.mark.django_db
def test_a_dump_holds_curators_edits_and_not_what_is_withdrawn(
    folder: Folder, tmp_path: Path
) -> None:
    load_pack(folder())
    load_pack(folder(("1931–33,", "1931–32,")))
    coin = CoinType.objects.get(key="isle-penny-gull")
    coin.name = "gull"
    coin.save()
    Issue.objects.create(
        coin_type=coin, key="own-key", shown="1960", struck_from=1960, struck_to=1960, mark_text="X"
    )
    dump_pack("isle", tmp_path / "out")
    found = read_pack(texts(tmp_path / "out"))
    assert found.types[0].name == "gull"
    keys = [issue.key for issue in found.types[0].issues]
    assert "own-key" in keys
    assert "1933" not in keys
    assert load_pack(tmp_path / "out").kept == []


@pytest.mark.django_db
def test_a_folder_with_other_files_is_left_alone(folder: Folder, tmp_path: Path) -> None:
    load_pack(folder())
    other = tmp_path / "other"
    other.mkdir()
    (other / "pack.toml").write_text('key = "other"\ntitle = "Other"\n')
    for replace in (False, True):
        with pytest.raises(PackErrors):
            dump_pack("isle", other, replace=replace)
    assert list(texts(other)) == ["pack.toml"]


@pytest.mark.django_db
def test_a_folder_of_the_same_pack_is_replaced_when_asked(folder: Folder) -> None:
    load_pack(folder())
    dump_pack("isle", folder(), replace=True)
    assert not (folder().parent / "isle" / "series-gone.toml").exists()
    (folder() / "series-gone.toml").write_text("")
    dump_pack("isle", folder(), replace=True)
    assert "series-gone.toml" not in texts(folder().parent / "isle")


@pytest.mark.django_db
def test_issues_that_cannot_be_told_apart_are_named(folder: Folder, tmp_path: Path) -> None:
    load_pack(folder())
    coin = CoinType.objects.get(key="isle-penny-gull")
    Issue.objects.create(coin_type=coin, key="b", shown="1931", struck_from=1931, struck_to=1931)
    with pytest.raises(PackErrors, match="type isle-penny-gull: two issues are both 1931"):
        dump_pack("isle", tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_the_small_pack_written_and_read_is_the_same(files: Files) -> None:
    pack = read_pack(files())
    written = write_pack(pack)
    assert read_pack(written) == pack
    assert write_pack(read_pack(written)) == written


@pytest.mark.parametrize(
    ("first", "last", "said"),
    [
        (5, 9, "5–9"), (99, 101, "99–101"), (100, 105, "100–05"), (1899, 1904, "1899–1904"),
        (1931, 1959, "1931–59"), (7, 7, "7"), (1999, None, "1999–"), (None, 1890, "–1890"),
    ],
)  # fmt: skip
def test_years_are_written_short_within_a_century_and_read_again(
    first: int | None, last: int | None, said: str
) -> None:
    assert years(e.Rung("", first, last)) == said
    assert Table({"years": said}, e.Place("money.toml", "series"), []).years() == (first, last)


ONE_TYPE = """
[[types]]
key = "isle-penny"
series = "isle-first"
denomination = "isle-penny"
dates = "1931–33"
"""


@pytest.mark.parametrize("line", ["", 'years = "1920–60"', 'years = "1931–"'])
def test_a_series_of_one_type_keeps_its_type_and_its_years(files: Files, line: str) -> None:
    pack = read_pack(files(money=f"{files()['money.toml']}{line}\n", types=ONE_TYPE))
    read = read_pack(write_pack(pack))
    assert (read.series, read.types) == (pack.series, pack.types)


# Random packs at the level of the format.

TEXT = st.text(
    st.characters(exclude_categories=("Cs", "Cc", "Zs", "Zl", "Zp"), include_characters=" \"'\\"),
    max_size=20,
).map(str.strip)
NAME = TEXT.filter(bool)
SLUG = st.from_regex(r"[a-z][a-z0-9]{0,5}(-[a-z0-9]{1,4})?", fullmatch=True)
YEAR = st.integers(100, 2100)


@st.composite
def spans(draw: Any) -> tuple[int | None, int | None]:
    first, last = sorted((draw(YEAR), draw(YEAR)))
    return draw(st.sampled_from([(first, last), (first, None), (None, last), (None, None)]))


def measure(places: int, most: int) -> st.SearchStrategy[Decimal | None]:
    return st.none() | st.integers(1, most * 10**places - 1).map(
        lambda n: trimmed(Decimal(n) / 10**places)
    )


@st.composite
def faces(draw: Any) -> e.FaceText:
    return e.FaceText(
        role=draw(st.sampled_from(["", "common", "national"])),
        description=draw(TEXT),
        legends=tuple(
            draw(
                st.lists(
                    st.builds(e.LegendText, NAME, st.sampled_from(["Latn", "Arab"]), TEXT, TEXT),
                    max_size=3,
                )
            )
        ),
        motifs=tuple(
            sorted(
                draw(st.lists(st.builds(e.Shown, st.just("gull"), TEXT), max_size=1)),
                key=lambda shown: shown.motif,
            )
        ),
        designers=draw(st.sampled_from([(), ("moy",)])),
        value_as=draw(st.sampled_from(["", "numeral", "words", "both"])),
        border=draw(st.sampled_from(["", "beaded"])),
    )


@st.composite
def types(draw: Any) -> e.TypeEntry:
    side = draw(st.sampled_from(["obverse", "reverse"]))
    marks = [
        e.MarkText(text, side, draw(st.sampled_from(["mint", "privy"])), mint="mint")
        for text in draw(st.lists(NAME, max_size=3, unique=True))
    ]
    first, last = draw(spans())
    return e.TypeEntry(
        key=draw(SLUG),
        series="series",
        denomination="penny",
        name=draw(TEXT),
        purpose=draw(st.sampled_from(["circulating", "commemorative", "pattern"])),
        first_year=first,
        last_year=last,
        diameter_mm=draw(measure(4, 100)),
        mass_g=draw(measure(4, 100)),
        alignment=draw(st.none() | st.integers(1, 12)),
        tender_until=draw(st.sampled_from(["", "..", "1960-12-31"])),
        note=draw(TEXT),
        edge=draw(TEXT),
        obverse=draw(faces()),
        reverse=draw(faces()),
        edge_face=draw(faces()),
        marks=tuple(sorted(marks, key=lambda mark: mark.identity)),
        references=tuple(
            sorted(
                set(draw(st.lists(st.builds(e.ReferenceText, NAME, NAME, TEXT), max_size=2))),
                key=lambda each: (each.work, each.number, each.edition),
            )
        ),
    )


@st.composite
def packs(draw: Any) -> e.PackEntry:
    found = {each.key: each for each in draw(st.lists(types(), max_size=3))}
    first, last = draw(spans())
    return e.PackEntry(
        key=draw(SLUG),
        title=draw(NAME),
        about=draw(
            st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\0"))
        ).strip(),
        issuers=(e.IssuerEntry("isle", name=draw(NAME), first_year=first, last_year=last),),
        currencies=(
            e.CurrencyEntry(
                "pound",
                name="pound",
                issuers=("isle",),
                units=(
                    e.Unit(
                        draw(NAME),
                        draw(
                            st.fractions(
                                min_value=Fraction(1, 9), max_value=999, max_denominator=1000
                            )
                        ),
                    ),
                ),
                price_notes=tuple(
                    draw(st.lists(st.builds(e.PriceNote, YEAR, TEXT, NAME), max_size=1))
                ),
            ),
        ),
        denominations=(
            e.DenominationEntry("penny", name="penny", currency="pound", value=Fraction(1, 240)),
        ),
        mints=(e.MintEntry("mint", name="Mint"),),
        people=(e.PersonEntry("moy", name=draw(NAME), born=draw(st.sampled_from(["", "1889~"]))),),
        motifs=(e.MotifEntry("gull", name=draw(NAME)),),
        series=(e.SeriesEntry("series", name="S", issuer="isle", currency="pound"),),
        types=tuple(found[key] for key in sorted(found)),
    )


@settings(max_examples=50)
@given(packs())
def test_any_pack_written_and_read_is_the_same(pack: e.PackEntry) -> None:
    from series.packs.checks import completed

    pack = completed(pack)
    written = write_pack(pack)
    again = read_pack(written)
    assert again == pack
    assert write_pack(again) == written
