"""The national sides of the euro, typed here from the sources named beside each table.

By law or official notice: measures, when the new common sides may be used, the edge of Vatican
City, the sides of Croatia. By governments, central banks and the Commission: what their rows name.
By an encyclopaedia, and so no check by statute: marks, most legends, artists and edges. From memory
(M below), and so checked by nothing but that the pack says so.
"""

from __future__ import annotations

from collections import defaultdict
from decimal import Decimal

import pytest

from series.entries.cited import cited_facts
from series.entries.tables import TypeEntry
from series.metal.compositions import parse_composition
from tests.outside.measured import of_memory, type_of
from tests.outside.test_packs_against_statutes import EURO_EDGES, EURO_TABLE
from tests.shipped_packs import shipped

PACK = shipped("euro-national")
COMMON = {each.key: each for each in shipped("euro").types}
ISSUERS = {each.key: each.issuer for each in PACK.series}
PEOPLE = {each.key: each.name for each in PACK.people} | {"luc-luycx": "Luc Luycx"}

BY_COUNTRY: dict[str, list[TypeEntry]] = defaultdict(list)
for _coin in PACK.types:
    BY_COUNTRY[ISSUERS[_coin.series]].append(_coin)


def years(coin: TypeEntry) -> tuple[int | None, int | None]:
    if coin.issues:
        return coin.issues[0].struck_from, coin.issues[-1].struck_to
    return coin.first_year, coin.last_year


def is_old_map(coin: TypeEntry) -> bool:
    return any(shown.motif == "map-of-the-union" for shown in coin.reverse.motifs)


def is_new_map(coin: TypeEntry) -> bool:
    return any(shown.motif == "map-of-the-continent" for shown in coin.reverse.motifs)


# Council Regulation (EU) No 729/2014, Annex I, as typed for the common sides.
@pytest.mark.parametrize("denomination", EURO_TABLE)
def test_national_types_have_the_measures_of_the_law(denomination: str) -> None:
    diameter, thickness, mass, outline, composition = EURO_TABLE[denomination]
    coins = [coin for coin in PACK.types if coin.denomination == denomination]
    assert len({ISSUERS[coin.series] for coin in coins}) == len(BY_COUNTRY)
    for coin in coins:
        measures = (coin.diameter_mm, coin.thickness_mm, coin.mass_g)
        assert measures == tuple(map(Decimal, (diameter, thickness, mass))), coin.key
        assert coin.outline == outline
        assert parse_composition(coin.composition) == parse_composition(composition)
        assert EURO_EDGES[denomination] in coin.edge
        assert "indicative" in coin.note
        assert "regulation-eu-729-2014" in {cited.source for cited in coin.citations}


def test_every_country_has_all_eight_values() -> None:
    for country, coins in BY_COUNTRY.items():
        assert {coin.denomination for coin in coins} == set(EURO_TABLE), country


def test_the_common_side_is_that_of_the_euro() -> None:
    faces = [(each.denomination, each.reverse) for each in COMMON.values()]
    for coin in PACK.types:
        assert (coin.denomination, coin.reverse) in faces, coin.key
        assert (coin.obverse.role, coin.reverse.role) == ("national", "common")
        assert coin.convention == "custom"
        assert coin.obverse.description


# Notice 2006/C 225/05: the new map is allowed from 2007 and in use in 2008 at the latest; states
# that join later have it alone.
def test_the_maps_keep_to_the_notice() -> None:
    for coin in PACK.types:
        first, last = years(coin)
        if is_new_map(coin):
            assert first is None or first >= 2007, coin.key
        if is_old_map(coin):
            assert 1999 <= (first or 0) <= 2007, coin.key
            assert 1999 <= (last or 0) <= 2007, coin.key


def test_states_that_joined_later_have_the_new_map_alone() -> None:
    later = {"slovenia", "cyprus", "malta", "slovakia", "estonia", "latvia", "lithuania", "croatia",
             "bulgaria", "andorra"}  # fmt: skip
    assert {
        country for country, coins in BY_COUNTRY.items() if not any(map(is_old_map, coins))
    } == (later)


# First date on coins. Encyclopaedia, identifying marks: year struck, so from 1999 (Belgium,
# Finland, France, Netherlands, Spain); year of issue, so from 2002. Monaco: encyclopaedia. By their
# governments or banks: Estonia, Lithuania; official notice: Croatia. M: Slovenia, Cyprus, Slovakia,
# Latvia, Andorra. Bundesbank: Malta. Encyclopaedia: Bulgaria.
FIRST = {
    **dict.fromkeys(("belgium", "finland", "france", "netherlands", "spain"), 1999),
    **dict.fromkeys(
        ("austria", "germany", "greece", "ireland", "italy", "luxembourg", "san-marino",
         "vatican-city"), 2002),
    "monaco": 2001, "slovenia": 2007, "cyprus": 2008, "malta": 2008, "slovakia": 2009,
    "estonia": 2011, "latvia": 2014, "andorra": 2014, "lithuania": 2015, "croatia": 2023,
    "bulgaria": 2026,
}  # fmt: skip


def test_first_dates() -> None:
    found = {
        country: min(year for coin in coins if (year := years(coin)[0]) is not None)
        for country, coins in BY_COUNTRY.items()
    }
    assert found == FIRST


# Years of the series. Encyclopaedia: Belgium, Monaco, Vatican City (its third to 2014, said in the
# note), Netherlands, list of series for those of 2014 and after; Finland: its foreign ministry;
# Spain 2015: Commission. M: the end of Belgium's third, of Spain's king on 1 and 2 euro.
SERIES = {
    "euro-be-first": (1999, 2007), "euro-be-second": (2008, 2008), "euro-be-third": (2009, 2013),
    "euro-be-fourth": (2014, None), "euro-es-first": (1999, 2009),
    "euro-es-first-modified": (2010, None), "euro-es-second": (2015, None),
    "euro-fr-first": (1999, None), "euro-fr-second": (2022, None), "euro-lu-first": (2002, 2025),
    "euro-lu-second": (2026, None), "euro-nl-first": (1999, 2013), "euro-nl-second": (2014, None),
    "euro-fi-first": (1999, 2006), "euro-fi-first-modified": (2007, None),
    "euro-mc-first": (2001, 2005), "euro-mc-second": (2006, None), "euro-sm-first": (2002, 2016),
    "euro-sm-second": (2017, None), "euro-va-first": (2002, 2005), "euro-va-second": (2005, 2005),
    "euro-va-third": (2006, 2013), "euro-va-fourth": (2014, 2016), "euro-va-fifth": (2017, None),
}  # fmt: skip


def test_years_of_the_series_of_countries_with_several() -> None:
    found = {each.key: (each.first_year, each.last_year) for each in PACK.series}
    assert {key: found[key] for key in SERIES} == SERIES


# The edge of the 2 euro as struck. Encyclopaedia, 2 euro coin, for all but: Spain also the
# Commission; Italy Commission, with the ECB's page against it; Vatican City also notice 2005/C
# 283/07; Greece Commission and ECB; Slovenia and Bulgaria encyclopaedia of their own. M: Andorra,
# Slovakia, Latvia, Croatia, the stars of Lithuania. Estonia's is doubtful and left out.
TWO_STARS, ONE_STAR = " ".join(["2 ★ ★"] * 6), " ".join(["2 ★"] * 6)
LETTERED = {
    **dict.fromkeys(
        ("belgium", "france", "ireland", "luxembourg", "monaco", "spain", "andorra"), TWO_STARS),
    **dict.fromkeys(("italy", "san-marino", "vatican-city"), ONE_STAR),
    "austria": " ".join(["2 EURO ★ ★ ★"] * 4), "cyprus": " ".join(["2 ΕΥΡΩ 2 EURO"] * 2),
    "malta": " ".join(["2 ✠ ✠"] * 6), "germany": "EINIGKEIT UND RECHT UND FREIHEIT",
    "greece": "ΕΛΛΗΝΙΚΗ ΔΗΜΟΚΡΑΤΙΑ ★", "finland": "SUOMI FINLAND",
    "netherlands": "GOD ★ ZIJ ★ MET ★ ONS ★", "slovenia": "S L O V E N I J A",
    "slovakia": "SLOVENSKÁ REPUBLIKA", "latvia": "DIEVS ★ SVĒTĪ ★ LATVIJU ★",
    "lithuania": "LAISVĖ ★ VIENYBĖ ★ GEROVĖ ★",
    "croatia": "O LIJEPA O DRAGA O SLATKA SLOBODO", "bulgaria": "БОЖЕ ПАЗИ БЪЛГАРИЯ",
    "estonia": None,
}  # fmt: skip


def test_edges_of_the_two_euro() -> None:
    found = {
        country: {
            tuple(legend.text for legend in coin.edge_face.legends)
            for coin in coins
            if coin.denomination == "euro-2"
        }
        for country, coins in BY_COUNTRY.items()
    }
    assert found == {country: {(text,) if text else ()} for country, text in LETTERED.items()}


def test_where_sources_differ_on_an_edge_the_note_says_so() -> None:
    coin = type_of(PACK, "euro-it-first-2-continent")
    assert "two according to the German page of the European Central Bank" in coin.note
    named = {cited.source for cited in coin.citations if "edge" in cited_facts(cited.where)}
    assert named == {"wikipedia-2-euro-coin", "commission-euro-italy", "ecb-euro-italy"}
    for country in ("andorra", "slovakia", "latvia", "croatia", "lithuania"):
        (two,) = [coin for coin in BY_COUNTRY[country] if coin.denomination == "euro-2"]
        assert "edge" in of_memory(PACK, two.key), country


# Mint marks. Encyclopaedia, identifying marks, and German euro coins.
def marks(coin: TypeEntry) -> set[str]:
    return {mark.text for mark in coin.marks if mark.side == "obverse"}


def test_letters_of_the_german_mints() -> None:
    mints = {each.key: each.name for each in PACK.mints}
    letters = {"A": "Berlin", "D": "Munich", "F": "Stuttgart", "G": "Karlsruhe", "J": "Hamburg"}
    for coin in BY_COUNTRY["germany"]:
        assert {m.text: mints[m.mint] for m in coin.marks if m.side == "obverse"} == letters


def test_greek_coins_of_2002_struck_abroad() -> None:
    # E Madrid on the 20 cent; F Pessac on 1, 2, 5, 10, 50 cent; S Vantaa on 1 and 2 euro.
    abroad = {
        "euro-20-cent": "E", "euro-1": "S", "euro-2": "S",
        **{f"euro-{n}-cent": "F" for n in (1, 2, 5, 10, 50)},
    }  # fmt: skip
    for coin in BY_COUNTRY["greece"]:
        expected = {"anthemion"} if is_new_map(coin) else {"anthemion", abroad[coin.denomination]}
        assert marks(coin) == expected, coin.key


def test_marks_on_every_coin_of_a_country() -> None:
    for country, mark in {
        "italy": "R", "france": "cornucopia", "greece": "anthemion", "lithuania": "LMK",
    }.items():  # fmt: skip
        for coin in BY_COUNTRY[country]:
            assert mark in {each.text for each in coin.marks if each.on_all}, coin.key
    for country in ("austria", "ireland", "estonia", "cyprus"):
        assert not any(marks(coin) for coin in BY_COUNTRY[country])


def test_finland_changed_a_letter_for_the_logo_in_2007() -> None:
    # Finnish foreign ministry, embassy in London, 3 January 2007.
    for coin in BY_COUNTRY["finland"]:
        first = coin.series == "euro-fi-first"
        assert marks(coin) == ({"M"} if first else {"logo of the mint"})
        assert [each.text for each in coin.obverse.legends] == ([] if first else ["FI"])


# Legends of the national side. Encyclopaedia: no name of the country in Germany; BE from 2008, FI
# from 2007, RF, RI; Cyprus; Slovakia. Banks and governments: Estonia, Lithuania, Malta.
# Encyclopaedia of their own: Spain, Luxembourg, Netherlands, Bulgaria, Monaco, Vatican's third.
LEGENDS = {
    "euro-be-first-1-cent": (), "euro-be-second-1-cent": ("BE",), "euro-be-third-2": ("BE",),
    "euro-de-first-1-states": (), "euro-ee-first-1": ("EESTI",), "euro-ie-first-1-cent": ("éire",),
    "euro-es-first-1-cent": ("ESPAÑA",), "euro-fr-first-1-cent": ("RF",),
    "euro-it-first-1-cent": ("RI",), "euro-cy-first-1": ("ΚΥΠΡΟΣ", "KIBRIS"),
    "euro-lt-first-2": ("LIETUVA",), "euro-lu-first-1-cent": ("LËTZEBUERG",),
    "euro-mt-first-2": ("MALTA",), "euro-sk-first-1": ("SLOVENSKO",),
    "euro-nl-first-1-cent": ("BEATRIX KONINGIN DER NEDERLANDEN",),
    "euro-bg-first-1-cent": ("БЪЛГАРИЯ", "СТОТИНКА"),
    "euro-bg-first-50-cent": ("БЪЛГАРИЯ", "СТОТИНКИ"), "euro-bg-first-2": ("БЪЛГАРИЯ", "ЕВРО"),
    "euro-mc-first-2": ("MONACO",), "euro-va-third-1-cent": ("Città del Vaticano",),
}  # fmt: skip


@pytest.mark.parametrize("key", LEGENDS)
def test_legends_of_a_source(key: str) -> None:
    coin = type_of(PACK, key)
    assert tuple(legend.text for legend in coin.obverse.legends) == LEGENDS[key]
    assert not {"legends", "obverse.legends"} & of_memory(PACK, key)


# M: legends, artists or pictures seen in no source; the pack must say so of each.
MEMORY = {
    "euro-gr-first-2-states": "obverse.legends", "euro-lv-first-1": "obverse.legends",
    "euro-at-first-1-states": "obverse.legends", "euro-si-first-20-cent": "obverse.legends",
    "euro-nl-second-1": "obverse.legends", "euro-va-first-1-cent": "obverse.legends",
    "euro-ad-first-1": "obverse", "euro-cy-first-1": "obverse", "euro-sm-first-1-cent": "obverse",
    "euro-sm-second-2": "obverse", "euro-fr-first-1-cent": "obverse", "euro-hr-first-1": "obverse",
    "euro-be-fourth-1": "obverse", "euro-es-second-1": "obverse.designers",
    "euro-es-first-1-states": "marks", "euro-mc-first-2": "marks", "euro-sk-first-1": "marks",
    "euro-be-third-1": "years", "euro-de-first-1-states": "years",
    "euro-it-first-2-states": "years",
    "euro-va-second-1": "dates", "euro-sk-first-1-cent": "years", "euro-ad-first-1-cent": "years",
}  # fmt: skip


@pytest.mark.parametrize("key", MEMORY)
def test_what_is_from_memory_says_so(key: str) -> None:
    fact = MEMORY[key]
    assert fact in of_memory(PACK, key)
    elsewhere = {
        part.strip()
        for cited in type_of(PACK, key).citations
        if cited.source != "euro-national-from-memory"
        for part in cited.where.split(",")
    }
    assert fact not in elsewhere


def test_alignment_and_the_width_of_the_centre_are_from_memory() -> None:
    for coin in PACK.types:
        high = coin.denomination in ("euro-1", "euro-2")
        assert {"alignment"} | ({"ring_mm"} if high else set()) <= of_memory(PACK, coin.key)


# Artists. Encyclopaedia of the country; Slovakia the Commission; Lithuania, Malta their banks.
ARTISTS = {
    "euro-be-first-1-states": {"Jan Alfons Keustermans"},
    "euro-de-first-1-cent": {"Rolf Lederbogen"},
    "euro-de-first-10-cent-states": {"Reinhart Heinsdorff"},
    "euro-de-first-2-continent": {"Heinz Hoyer", "Sneschana Russewa-Hoyer"},
    "euro-ee-first-1": {"Lembit Lõhmus"}, "euro-ie-first-1-states": {"Jarlath Hayes"},
    "euro-gr-first-1-states": {"Georges Stamatopoulos"},
    "euro-es-first-1-cent": {"Garcilaso Rollán"},
    "euro-es-first-10-cent-states": {"Begoña Castellanos"},
    "euro-fr-first-1-states": {"Joaquin Jimenez"}, "euro-it-first-1-cent": {"Eugenio Driutti"},
    "euro-it-first-2-cent": {"Luciana De Simoni"}, "euro-it-first-5-cent": {
        "Ettore Lorenzo Frapiccini"}, "euro-it-first-10-cent-states": {"Claudia Momoni"},
    "euro-it-first-20-cent-states": {"Maria Angela Cassol"},
    "euro-it-first-50-cent-states": {"Roberto Mauri"}, "euro-it-first-1-states": {"Laura Cretara"},
    "euro-it-first-2-states": {"Maria Carmela Colaneri"}, "euro-lt-first-1": {"Antanas Žukauskas"},
    "euro-lu-first-1-cent": {"Yvette Gastauer-Claire"}, "euro-mt-first-1": {"Noel Galea Bason"},
    "euro-nl-first-1-states": {"Bruno Ninaber van Eyben"}, "euro-nl-second-1": {"Erwin Olaf"},
    "euro-at-first-1-states": {"Josef Kaiser"},
    "euro-si-first-1": {"Miljenko Licul", "Maja Licul", "Janez Boljka"},
    "euro-sk-first-1-cent": {"Drahomír Zobek"}, "euro-sk-first-10-cent": {
        "Ján Černaj", "Pavol Károly"}, "euro-sk-first-1": {"Ivan Řehák"},
    "euro-fi-first-1-cent": {"Heikki Häiväoja"}, "euro-fi-first-1": {"Pertti Mäkinen"},
    "euro-fi-first-modified-2": {"Raimo Heino"},
}  # fmt: skip


@pytest.mark.parametrize("key", ARTISTS)
def test_artists(key: str) -> None:
    assert {PEOPLE[who] for who in type_of(PACK, key).obverse.designers} == ARTISTS[key]
    assert "obverse.designers" not in of_memory(PACK, key)


# What is shown, by motif: the sources of the rows of each country.
SHOWN = {
    "euro-de-first-5-cent": "oak", "euro-de-first-50-cent-states": "brandenburg-gate",
    "euro-de-first-1-continent": "eagle", "euro-ie-first-2-cent": "harp",
    "euro-gr-first-1-cent": "trireme", "euro-gr-first-2-cent": "corvette",
    "euro-gr-first-5-cent": "tanker", "euro-gr-first-1-states": "owl",
    "euro-gr-first-2-states": "europa-and-the-bull", "euro-es-first-5-cent": "santiago-cathedral",
    "euro-es-first-20-cent-states": "miguel-de-cervantes", "euro-es-second-2": "felipe-vi",
    "euro-it-first-1-cent": "castel-del-monte", "euro-it-first-5-cent": "colosseum",
    "euro-it-first-1-states": "vitruvian-man", "euro-it-first-2-states": "dante",
    "euro-lv-first-1": "woman", "euro-lt-first-1-cent": "knight", "euro-mt-first-1-cent": "mnajdra",
    "euro-mt-first-2": "maltese-cross", "euro-at-first-1-cent": "gentian",
    "euro-at-first-2-cent": "edelweiss", "euro-at-first-1-states": "mozart",
    "euro-at-first-2-states": "bertha-von-suttner", "euro-si-first-1-cent": "stork",
    "euro-si-first-50-cent": "triglav", "euro-sk-first-1-cent": "krivan",
    "euro-sk-first-2": "double-cross", "euro-fi-first-1": "swan", "euro-fi-first-2": "cloudberry",
    "euro-fi-first-5-cent": "lion", "euro-bg-first-20-cent": "madara-horseman",
    "euro-bg-first-1": "ivan-of-rila", "euro-mc-first-2": "rainier-iii",
    "euro-mc-second-1-states": "albert-ii-of-monaco", "euro-va-first-1": "john-paul-ii",
    "euro-va-third-1-continent": "benedict-xvi", "euro-hr-first-1-cent": "glagolitic-letters",
}  # fmt: skip


@pytest.mark.parametrize("key", SHOWN)
def test_what_national_sides_show(key: str) -> None:
    shown = {each.motif for each in type_of(PACK, key).obverse.motifs}
    assert {SHOWN[key], "twelve-stars"} <= shown
    assert "obverse" not in of_memory(PACK, key)


def test_single_years_are_listed_only_where_they_are_known() -> None:
    # Belgium's coins of 2007 with the new map and its series of 2008; the vacant see of 2005, in
    # Roman numerals (M).
    listed = {c.key: {issue.shown for issue in c.issues} for c in PACK.types if c.issues}
    dates = {"euro-be-first": {"2007"}, "euro-be-second": {"2008"}, "euro-va-second": {"MMV"}}
    assert {type_of(PACK, key).series for key in listed} == set(dates)
    assert all(shown == dates[type_of(PACK, key).series] for key, shown in listed.items())
