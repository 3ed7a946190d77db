from __future__ import annotations

from collections.abc import Callable, Mapping

import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.measuring import signs
from series.measuring.signs import (
    COLOURS,
    MAGNET,
    SOUNDS,
    colour_chances,
    magnet_chances,
    sound_chances,
)
from series.metal.alloys import NAMED
from series.metal.compositions import Build, parse_composition
from series.metal.metals import colour, tints
from series.picture.metals import METALS

SIGNS: list[tuple[Callable[[Build], Mapping[str, float] | None], tuple[str, ...]]] = [
    (magnet_chances, MAGNET),
    (colour_chances, COLOURS),
    (sound_chances, SOUNDS),
]
BUILDS = [
    *NAMED,
    "core: steel; plating: Cu",
    "core: Cu; cladding: Cu75Ni25 >=30%",
    "Cu75Ni25 | Ni 12% | Cu75Ni25",
    "ring: Cu75Ni25; centre: (core: steel; plating: brass)",
    "ring: Cu; inner ring: Ni; centre: Zn",
    "gold 22 carat",
    "silver 500",
]


def likeliest(chances: Mapping[str, float] | None) -> str:
    assert chances
    return max(chances, key=lambda name: chances[name])


@pytest.mark.parametrize(("sign", "classes"), SIGNS)
@pytest.mark.parametrize("text", BUILDS)
def test_chances_sum_to_one_and_none_is_zero(
    text: str,
    sign: Callable[[Build], Mapping[str, float] | None],
    classes: tuple[str, ...],
) -> None:
    chances = sign(parse_composition(text))
    assert chances
    assert tuple(chances) == classes
    assert sum(chances.values()) == pytest.approx(1)
    assert min(chances.values()) > 0.003


def test_what_is_seen_and_heard_of_a_look_makes_a_hundred_in_a_hundred() -> None:
    seen = {look: sum(percents.values()) for look, percents in signs._SEEN.items()}
    heard = {look: sum(percents) for look, percents in signs._HEARD.items()}
    assert seen == dict.fromkeys(METALS, 100)
    assert heard == dict.fromkeys(METALS, 100)
    assert sum(signs._LAYERS_HEARD) == sum(signs._JOINED_HEARD) == 100


def test_nickel_pulls_a_quarter_as_hard_as_iron() -> None:
    """Saturation about 0.6 and 2.15 tesla: CRC Handbook of Chemistry and Physics, from memory."""
    nickel, quarter_of_iron = (
        magnet_chances(parse_composition(text)) for text in ("Ni", "Cu | Fe 25% | Cu")
    )
    assert nickel
    assert quarter_of_iron
    assert nickel == pytest.approx(quarter_of_iron)


@pytest.mark.parametrize(("sign", "classes"), SIGNS)
@pytest.mark.parametrize("text", ['"porcelain"', 'ring: Cu; centre: "nacre"'])
def test_of_the_unknown_nothing_is_said(
    text: str,
    sign: Callable[[Build], Mapping[str, float] | None],
    classes: tuple[str, ...],
) -> None:
    assert sign(parse_composition(text)) is None


@pytest.mark.parametrize("look", METALS)
def test_every_look_has_colours_and_a_sound(look: str) -> None:
    shown = {tints(parse_composition(name))[0]: name for name in NAMED}
    shown |= {"pale gold": "Cu89Al5Zn5Sn1", "silver": "Ag"}
    build = parse_composition(shown[look])
    assert colour_chances(build)
    assert sound_chances(build)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Cu75Ni25", "none"),
        ("Cu61Zn20Ni19", "none"),
        ("Ni60Cu40", "none"),
        ("Ni75Cu25", "weak"),
        ("Ni", "strong"),
        ("iron", "strong"),
        ("Co", "strong"),
        ("FeCr17", "strong"),
        ("FeCr18Ni9", "none"),
        ("FeCr15Mn9Ni1", "none"),
        ("FeMn13", "none"),
        ("core: steel; plating: Cu", "strong"),
        ("core: Cu; plating: Ni 2%", "weak"),
        ("Cu75Ni25 | Ni 7% | Cu75Ni25", "weak"),
        ("core: Zn; plating: Cu 2.5%", "none"),
        ("ring: CuZn20Ni5; centre: Cu75Ni25 | Ni 7% | Cu75Ni25", "centre only"),
        ("ring: CuZn20Ni5; centre: Cu75Ni25", "none"),
        ("ring: steel; centre: Cu", "strong"),
        ("ring: Cu75Ni25; inner ring: Ni; centre: Cu75Ni25", "strong"),
        ("ring: (core: steel; plating: Ni); centre: (core: steel; plating: Cu)", "strong"),
    ],
)
def test_what_a_magnet_finds(text: str, found: str) -> None:
    """Curie temperatures of Fe, Co and Ni: CRC Handbook, from memory. That the centres of the
    euro pieces and no other part pull: common practice, no source."""
    assert likeliest(magnet_chances(parse_composition(text))) == found


def test_stainless_steel_without_figures_may_pull_or_not() -> None:
    chances = magnet_chances(parse_composition("stainless steel"))
    assert chances
    assert chances["none"] > 0.3
    assert chances["strong"] > 0.3


@given(st.integers(1, 98), st.integers(1, 98))
def test_more_nickel_between_the_layers_pulls_more(one: int, other: int) -> None:
    less, more = (
        magnet_chances(parse_composition(f"Cu75Ni25 | Ni {share}% | Cu75Ni25"))
        for share in sorted((one, other))
    )
    assert less
    assert more
    assert less["none"] >= more["none"]
    assert less["strong"] <= more["strong"]


@pytest.mark.parametrize("text", [name for name in BUILDS if name not in ("copper", "iron")])
def test_the_colour_as_new_is_often_seen(text: str) -> None:
    build = parse_composition(text)
    chances = colour_chances(build)
    assert chances
    assert chances[colour(build)] > 0.25


def test_layers_of_two_colours_are_seen_as_two() -> None:
    assert likeliest(colour_chances(parse_composition("Cu | Ag"))) == "two-colour"


def test_a_ring_of_another_metal_but_like_colour_is_sometimes_seen() -> None:
    chances = colour_chances(parse_composition("ring: Cu75Ni25; centre: Ni"))
    plain = colour_chances(parse_composition("Cu75Ni25"))
    assert chances
    assert plain
    assert likeliest(chances) == "white"
    assert chances["two-colour"] > 10 * plain["two-colour"]


def test_zinc_is_dull_even_under_copper() -> None:
    zinc, bronze = (
        sound_chances(parse_composition(text)) for text in ("core: Zn; plating: Cu", "Cu95Sn4Zn1")
    )
    assert likeliest(zinc) == "dull"
    assert likeliest(bronze) == "long ring"


def test_nickel_with_a_tenth_of_chromium_is_not_pulled() -> None:
    """Chromium takes nickel's Curie temperature below the room's (from memory)."""
    pulled, not_pulled = (
        magnet_chances(parse_composition(each)) for each in ("Ni95Cr5", "Ni90Cr10")
    )
    assert pulled is not None
    assert not_pulled is not None
    assert not_pulled["none"] > 0.9 > pulled["none"]


def test_most_people_try_ring_and_centre_apart() -> None:
    chances = magnet_chances(parse_composition("ring: Cu75Ni25; centre: steel"))
    assert chances is not None
    assert chances["centre only"] == pytest.approx(4 * chances["strong"], rel=0.1)
