"""The tags that draw a coin in a page, and the filters for its figures."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any
from xml.etree import ElementTree

import pytest
from django.template import Context, Template

from series.issuers.in_words import became, unit_chain, worth
from series.models import CoinType, Currency, CurrencyUnit
from series.templatetags.coins import clock_dial, years
from series.text.numerals import numeral
from series.text.words import grams, mm, years_text
from series.types.in_words import size_and_metal, supposed_note
from tests.conftest import Coinage


def rendered(source: str, **context: Any) -> str:
    return Template("{% load coins %}" + source).render(Context(context))


def test_a_coin_is_drawn_at_the_scale_asked_for(coinage: Coinage) -> None:
    html = rendered("{% coin t scale=2 %}", t=coinage.type)
    root = ElementTree.fromstring(html)
    radii = [float(c.get("r", 0)) for c in root.iter("circle") if c.get("class") == "coin-edge"]
    assert radii == [23.5]


def test_the_numeral_of_the_denomination_stands_on_it(coinage: Coinage) -> None:
    assert ">25</text>" in rendered("{% coin t %}", t=coinage.type)


def test_a_coin_refers_only_to_gradients_that_coin_defs_gives(coinage: Coinage) -> None:
    html = rendered("{% coin_defs types %}{% coin t %}", t=coinage.type, types=[coinage.type])
    used = set(re.findall(r"url\(#([^)]+)\)", html))
    assert used
    assert used <= set(re.findall(r'id="([^"]+)"', html))


def test_nothing_is_written_as_a_style(coinage: Coinage) -> None:
    html = rendered("{% coin_defs %}{% coin t %}{% coin t gap=True %}", t=coinage.type)
    assert "style=" not in html


def test_a_title_makes_the_coin_a_picture_and_is_escaped(coinage: Coinage) -> None:
    html = rendered("{% coin t title=name %}", t=coinage.type, name='25 "tinne" <b>')
    assert 'role="img"' in html
    assert "<b>" not in html


def test_without_a_title_a_screen_reader_passes_over_it(coinage: Coinage) -> None:
    assert 'aria-hidden="true"' in rendered("{% coin t %}", t=coinage.type)


def test_a_gap_is_an_empty_dashed_outline(coinage: Coinage) -> None:
    html = rendered("{% coin t gap=True %}", t=coinage.type)
    assert "stroke-dasharray" in html
    assert "<text" not in html


def test_a_photograph_is_cut_by_the_outline_at_the_same_scale(coinage: Coinage) -> None:
    html = rendered("{% coin t scale=2 picture='/photos/1/small.webp' %}", t=coinage.type)
    image = ElementTree.fromstring(html).find("image")
    assert image is not None
    assert (image.get("href"), image.get("width")) == ("/photos/1/small.webp", "47")
    cut = re.search(r'clipPath id="([^"]+)"', html)
    assert cut
    assert image.get("clip-path") == f"url(#{cut[1]})"


def test_two_coins_of_a_page_are_cut_by_ids_of_their_own(coinage: Coinage) -> None:
    html = rendered("{% coin t picture='/a' %}{% coin t picture='/b' %}", t=coinage.type)
    ids = re.findall(r'clipPath id="([^"]+)"', html)
    assert len(ids) == len(set(ids)) == 2


def test_a_struck_picture_is_shown_when_faces_are_at_hand(coinage: Coinage) -> None:
    coinage.type.faces.filter(side="reverse").update(picture="ab" * 32, value_as="numeral")
    coinage.type.faces.filter(side="obverse").update(picture="cd" * 32)
    found = CoinType.objects.prefetch_related("faces").select_related("denomination").get()
    assert "/reverse/small.webp?v=abababababab" in rendered("{% coin t %}", t=found)
    assert "/obverse/small.webp" in rendered("{% coin t side='obverse' %}", t=found)


def test_drawing_runs_no_query(coinage: Coinage, django_assert_num_queries: Any) -> None:
    found = CoinType.objects.select_related("denomination").get()
    with django_assert_num_queries(0):
        rendered("{% coin_defs types %}{% coin t %}", t=found, types=[found])


def test_a_type_of_unknown_size_is_still_drawn(coinage: Coinage) -> None:
    coinage.type.diameter_mm = None
    assert "<svg" in rendered("{% coin t %}", t=coinage.type)


@pytest.mark.parametrize("outline", list(CoinType.Outline))
def test_every_outline_of_the_record_can_be_drawn(coinage: Coinage, outline: str) -> None:
    coinage.type.outline, coinage.type.sides, coinage.type.hole = outline, 7, "round"
    ElementTree.fromstring(rendered("{% coin t %}", t=coinage.type))


def test_figures_have_no_trailing_zeros() -> None:
    assert mm(Decimal("23.500")) == "23.5\u00a0mm"
    assert grams(Decimal("5.0000")) == "5\u00a0g"
    assert mm(None) == ""


def test_years_are_written_in_full_or_short(coinage: Coinage) -> None:
    assert years(coinage.series) == "1931–1959"
    assert years_text(coinage.series.first_year, coinage.series.last_year) == "1931–59"


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("25 tinne", "25"),
        ("1 marl", "1"),
        ("2½ cents", "2½"),
        ("2 1/2 cents", "2½"),
        ("1/2 anna", "½"),
        ("half crown", "½"),
        ("half-crown", "½"),
        ("threepence", "3"),
        ("florin", ""),
        ("1,000 lire", "1,000"),
    ],
)
def test_the_numeral_of_a_name(name: str, text: str) -> None:
    assert numeral(name) == text


def test_a_currency_says_its_units_from_the_largest_down(coinage: Coinage) -> None:
    CurrencyUnit.objects.create(currency=coinage.currency, name="mil", plural="mils", per_main=1000)
    assert unit_chain(coinage.currency) == "1 marl = 100 tinne = 1000 mils"


def test_units_that_cannot_be_told_apart_are_not_said(coinage: Coinage) -> None:
    CurrencyUnit.objects.create(currency=coinage.currency, name="marl", per_main=10)
    assert unit_chain(coinage.currency) == ""


def test_a_denomination_says_what_it_is_worth(coinage: Coinage) -> None:
    assert worth(coinage.denomination) == "¼ marl"


def test_a_currency_says_what_became_of_it(coinage: Coinage) -> None:
    assert became(coinage.currency) == ""
    coinage.currency.successor = Currency(name="new marl")
    assert became(coinage.currency) == "followed by the new marl"
    coinage.currency.rate = "340.750"
    assert became(coinage.currency) == "340.750 marl became 1 new marl"


def test_a_ring_and_centre_takes_the_colours_of_its_metals(coinage: Coinage) -> None:
    coinage.type.composition = "ring: Cu75Ni25; centre: CuZn20Ni5"
    html = rendered("{% coin t %}", t=coinage.type)
    assert "url(#coin-copper-nickel)" in html
    assert "url(#coin-pale-gold)" in html
    assert size_and_metal(coinage.type) == "23.5\u00a0mm, copper-nickel"


def test_a_place_by_the_clock_is_drawn(coinage: Coinage) -> None:
    dot = ElementTree.fromstring(clock_dial(Decimal(6), 30)).findall("circle")[1]
    assert (float(dot.get("cx", 9)), float(dot.get("cy", 9))) == (0, 9.3)
    assert clock_dial(None) == ""


def test_a_coin_of_unknown_size_bears_a_question_mark_and_its_caption_says_so(
    coinage: Coinage,
) -> None:
    mark = ">?</text>"
    for source in ("{% coin t %}", "{% coin t gap=True %}", "{% coin t ghost=True %}"):
        coinage.type.diameter_mm = Decimal("23.5")
        assert mark not in rendered(source, t=coinage.type)
        coinage.type.diameter_mm = None
        html = rendered(source, t=coinage.type)
        assert html.count(mark) == 1
        assert "<title>size not recorded</title>" in html
        ElementTree.fromstring(html)
    assert size_and_metal(coinage.type) == "size not recorded, copper-nickel"


def test_the_question_mark_of_one_not_held_is_not_faint(coinage: Coinage) -> None:
    coinage.type.diameter_mm = None
    root = ElementTree.fromstring(rendered("{% coin t ghost=True %}", t=coinage.type))
    faint = [g for g in root.iter("g") if g.get("opacity") == "0.4"]
    assert len(faint) == 1
    assert not [g for g in faint[0].iter("g") if g.get("class") == "coin-supposed"]


def test_what_the_question_mark_means_is_said_only_where_there_is_one(coinage: Coinage) -> None:
    assert supposed_note([coinage.type]) == ""
    assert supposed_note([]) == ""
    assert "drawn 22\u00a0mm wide" in supposed_note([coinage.type, CoinType()])
