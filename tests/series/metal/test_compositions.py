from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.metal.alloys import NAMED, CompositionError, parse_alloy
from series.metal.compositions import LONGEST, Build, parse_composition


@pytest.mark.parametrize(
    ("text", "shares"),
    [
        ("Cu75Ni25", {"Cu": "3/4", "Ni": "1/4"}),
        ("CuZn20Ni5", {"Cu": "3/4", "Zn": "1/5", "Ni": "1/20"}),
        ("Cu88.5Zn6Mn3.5Ni2", {"Cu": "177/200", "Zn": "3/50", "Mn": "7/200", "Ni": "1/50"}),
        ("Cu97,5 Zn2,5", {"Cu": "39/40", "Zn": "1/40"}),
        ("Cu", {"Cu": "1"}),
        ("titanium", {"Ti": "1"}),
        ("gold 24 carat", {"Au": "1"}),
        ("Nordic gold", {"Cu": "89/100", "Al": "1/20", "Zn": "1/20", "Sn": "1/100"}),
    ],
)
def test_exact_shares(text: str, shares: dict[str, str]) -> None:
    alloy = parse_alloy(text)
    exact = {symbol: (Fraction(share), Fraction(share)) for symbol, share in shares.items()}
    assert {symbol: (least, most) for symbol, least, most in alloy.shares} == exact


@pytest.mark.parametrize(
    ("text", "canonical", "element", "share"),
    [
        ("silver 900", "silver 900", "Ag", "9/10"),
        ("Silver 0.925", "silver 925", "Ag", "37/40"),
        (".925 silver", "silver 925", "Ag", "37/40"),
        ("silver 835/1000", "silver 835", "Ag", "167/200"),
        ("silver 0.08", "silver 0.08", "Ag", "2/25"),
        ("silver 100", "silver 100", "Ag", "1/10"),
        ("silver 0.1", "silver 100", "Ag", "1/10"),
        ("sterling silver", "silver 925", "Ag", "37/40"),
        ("gold 22 carat", "gold 22 carat", "Au", "11/12"),
        ("22ct gold", "gold 22 carat", "Au", "11/12"),
        ("gold 916.7", "gold 916.7", "Au", "9167/10000"),
        ("platinum 950", "platinum 950", "Pt", "19/20"),
    ],
)
def test_fineness(text: str, canonical: str, element: str, share: str) -> None:
    alloy = parse_alloy(text)
    assert str(alloy) == canonical
    assert alloy.share(element) == (Fraction(share), Fraction(share))
    assert any(least != most for _, least, most in alloy.shares)  # the rest has not been said


def test_a_plain_name_gives_ranges() -> None:
    least, most = parse_alloy("Bronze").share("Sn")
    assert 0 < least < most
    assert parse_alloy("bronze").name == "bronze"


@pytest.mark.parametrize("name", NAMED)
def test_ranges_of_a_name_can_make_a_whole(name: str) -> None:
    shares = parse_alloy(name).shares
    assert sum(least for _, least, _ in shares) <= 1 <= sum(most for _, _, most in shares)


@pytest.mark.parametrize(
    ("text", "kind", "canonical"),
    [
        ("Cu75Ni25", "solid", "Cu75Ni25"),
        ("cupro-nickel", "solid", "copper-nickel"),
        ("“glazed stoneware”", "solid", '"glazed stoneware"'),
        (
            "ring: Cu75Ni25; centre: CuZn20Ni5|Ni 12 %|CuZn20Ni5",
            "ring and centre",
            "ring: Cu75Ni25; centre: CuZn20Ni5 | Ni 12% | CuZn20Ni5",
        ),
        (
            "Center: brass; inner ring: Ni; outer ring: Cu",
            "ring and centre",
            "ring: Cu; inner ring: Ni; centre: brass",
        ),
        ("core: steel; plating: Cu", "plated", "core: steel; plating: Cu"),
        ("core: Zn; plating: Cu 2.5%", "plated", "core: Zn; plating: Cu 2.5%"),
        (
            "plating: Ni; plating: Cu; core: steel",
            "plated",
            "core: steel; plating: Ni; plating: Cu",
        ),
        ("copper-covered steel", "plated", "core: steel; plating: copper"),
        ("copper-nickel-clad copper", "clad", "core: copper; cladding: copper-nickel"),
        (
            "core: Cu; cladding: Cu75Ni25 at least 30 %",
            "clad",
            "core: Cu; cladding: Cu75Ni25 >=30%",
        ),
        ("core: Cu; cladding: Ni <=5%", "clad", "core: Cu; cladding: Ni <=5%"),
        ("core: Cu; cladding: Ni 30–40%", "clad", "core: Cu; cladding: Ni 30-40%"),
        ("Cu | Ni | Cu", "layered", "Cu | Ni | Cu"),
        (
            "ring: brass; centre: nickel-plated steel",
            "ring and centre",
            "ring: brass; centre: (core: steel; plating: nickel)",
        ),
        (
            "ring: (Cu | Ni | Cu) 60%; centre: (core: Fe; plating: Cu 3%) 40%",
            "ring and centre",
            "ring: (Cu | Ni | Cu) 60%; centre: (core: Fe; plating: Cu 3%) 40%",
        ),
    ],
)
def test_builds(text: str, kind: str, canonical: str) -> None:
    build = parse_composition(text)
    assert build.kind == kind
    assert str(build) == canonical
    assert parse_composition(canonical) == build


@pytest.mark.parametrize(
    ("text", "advice"),
    [
        ("silver 0", "not a fineness"),
        ("silver 99", "not a fineness"),
        ("silver 1001", "not a fineness"),
        ("", "write Cu75Ni25"),
        ("Ag900Cu100", "write silver 900"),
        ("Ag900", "write silver 900"),
        ("silver 90", "thousandths"),
        ("silver 92.5%", "silver 925"),
        ("gold 25 carat", "of 24"),
        ("Cu75Ni24", "CuNi24"),
        ("CuNi", "copper-nickel"),
        ("CuZn100", "leaves nothing for Cu"),
        ("CuZn0", "leave that element out"),
        ("Cu50Cu50", "twice"),
        ("Cu75Xx25", "'Xx'"),
        ("75% Cu 25% Ni", "Cu75Ni25"),
        ("bronz", '"bronz" in quotes'),
        ('""', "quotes are empty"),
        ("CuZn20Ni5/Ni12/CuZn20Ni5", "no metal known here"),
        ("Cu | Ni 12% |", "A metal is missing"),
        ("Cu 60% | Ni 50%", "do not make 100 percent"),
        ("core: Cu 50%; plating: Ni 2%", "do not make 100 percent"),
        ("Cu 0% | Ni", "no share"),
        ("Cu 120% | Ni", "no share"),
        ("Cu 30-20% | Ni", "no share"),
        ("ring: Cu", "centre: CuZn20Ni5"),
        ("core: Cu; core: Zn; plating: Ni", "two cores"),
        ("core: Cu; cladding: Ni; cladding: Zn", "write core"),
        ("rim: Cu; centre: Ni", "'rim: Cu' does not name a part"),
        ("Cu; Ni", "'Cu' does not name a part"),
        ("core: (Cu | Ni); plating: Zn", "one metal here"),
        ("ring: (ring: Cu; centre: Ni); centre: Zn", "side by side"),
        ("(Cu", "close it"),
        ("Cu)", "close it"),
        ("(" * 2000, "at most"),
    ],
)
def test_refusals_say_what_to_write(text: str, advice: str) -> None:
    with pytest.raises(CompositionError) as refused:
        parse_composition(text)
    assert advice in str(refused.value)


def test_deep_brackets_are_read_as_far_as_the_line_may_be_long() -> None:
    deep = (LONGEST - 2) // 2
    assert str(parse_composition("(" * deep + "Cu" + ")" * deep)) == "Cu"


symbols = ["Cu", "Ni", "Zn", "Al", "Sn", "Ag", "Au", "Fe"]


@st.composite
def alloys(draw: st.DrawFn) -> str:
    if draw(st.booleans()):
        others = ["silver 900", "gold 22 carat", "silver 0.08", "bronze", "steel", '"a: (b; c|"']
        return draw(st.sampled_from(others))
    chosen = draw(st.lists(st.sampled_from(symbols), min_size=1, max_size=4, unique=True))
    rest = [f"{s}{draw(st.integers(1, 250)) / 10:g}" for s in chosen[1:]]
    return chosen[0] + "".join(rest)


@st.composite
def builds(draw: st.DrawFn) -> str:
    a, b, c = draw(alloys()), draw(alloys()), draw(alloys())
    share = draw(st.sampled_from(["", " 12%", " >=3.25%", " <=20%", " 2-3%"]))
    plated = f"core: {a}; plating: {b}{share}"
    layered = f"{a} | {b}{share} | {a}"
    return draw(
        st.sampled_from(
            [
                a,
                plated,
                layered,
                f"core: {a}; cladding: {b}{share}",
                f"core: {a}; plating: {b}{share}; plating: {c}",
                f"ring: {a}{share}; centre: {b}",
                f"ring: {a}; inner ring: ({plated}){share}; centre: {c}",
                f"ring: ({layered}){share}; centre: {c}",
                f"ring: {c}; centre: {layered}",
            ]
        )
    )


@given(builds())
def test_canonical_form_reads_back_the_same(text: str) -> None:
    build = parse_composition(text)
    assert parse_composition(str(build)) == build
    assert str(parse_composition(str(build))) == str(build)


@given(st.text('CuNiZnAg0123456789.,%|;:() "<>=-corepltingbz', max_size=40))
def test_anything_typed_is_read_or_refused_in_words(text: str) -> None:
    try:
        build = parse_composition(text)
    except CompositionError:
        return
    assert isinstance(build, Build)
    assert parse_composition(str(build)) == build
