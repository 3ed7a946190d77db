"""A denomination through its series, a series as a plate, the page of a type."""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from catalogue.models import Holding, Proposal
from series.models import (
    CoinType,
    Face,
    Issuer,
    Legend,
    Reference,
    Series,
    Source,
    Variety,
)
from series.types.queries import chain, in_order, previous_type, standing_types
from tests.conftest import Coinage
from tests.markup import markup
from tests.series.coinage_maker import add_issue, add_series, add_type, motif, person


def page(client: Client, name: str, key: str, **query: Any) -> str:
    response = client.get(reverse(name, args=[key]), query)
    assert response.status_code == 200
    return markup(response.content.decode())


def later_type(coinage: Coinage, **fields: Any) -> CoinType:
    """A smaller steel 25 tinne of a later series."""
    late = add_series(coinage, "late", 1960, 1988)
    return add_type(
        coinage,
        25,
        **{
            "key": "late-25",
            "denomination": coinage.denomination,
            "series": late,
            "diameter_mm": Decimal(22),
            "metal": "steel",
            "first_year": 1960,
            "last_year": 1970,
        }
        | fields,
    )


# ---- denomination ----
def test_each_step_of_a_denomination_is_said_in_words(as_member: Client, coinage: Coinage) -> None:
    later_type(coinage)
    html = page(as_member, "denomination", "testland-25-tinne")
    assert "The first of its denomination in the marl." in html
    assert "Since 1931–53, First:" in html
    assert "Smaller by one and a half millimetres, and steel where it was copper-nickel." in html


def test_what_a_person_names_first_is_said_and_the_rest_is_folded(
    as_member: Client, coinage: Coinage
) -> None:
    later_type(coinage, mass_g=Decimal("4.2"), edge="plain", alignment=6, outline="polygon",
               sides=12)  # fmt: skip
    html = page(as_member, "type", "late-25")
    said = "Smaller by one and a half millimetres, steel where it was copper-nickel, and"
    folded = html[html.index('<details class="more-changes">') :]
    assert html.index(said) < html.index('<details class="more-changes">')
    assert "<dt>Size and metal</dt>" in folded
    assert "Lighter by 1.2 grams" in folded


def test_the_coin_before_is_drawn_beside_at_one_scale(as_member: Client, coinage: Coinage) -> None:
    later_type(coinage)
    html = page(as_member, "type", "late-25")
    pair = html[html.index('class="before-and-now"') :]
    before, now = (float(width) for width in re.findall(r'<svg[^>]* width="([0-9.]+)"', pair)[:2])
    assert before / now == pytest.approx(23.5 / 22, rel=0.02)


def test_a_denomination_leads_to_others_of_its_currency(
    as_member: Client, coinage: Coinage
) -> None:
    add_type(coinage, 5)
    html = page(as_member, "denomination", "testland-25-tinne")
    assert 'href="/denominations/testland-5-tinne/"' in html


def test_a_denomination_without_coins_says_what_to_do(as_member: Client, coinage: Coinage) -> None:
    coinage.type.delete()
    assert "No coin of this denomination yet" in page(
        as_member, "denomination", "testland-25-tinne"
    )


def test_countries_that_share_a_denomination_are_followed_apart(coinage: Coinage) -> None:
    other = Issuer.objects.create(key="another", name="Another")
    theirs = Series.objects.create(
        key="theirs", issuer=other, currency=coinage.currency, name="Theirs", first_year=1940
    )
    later = later_type(coinage)
    alone = add_type(
        coinage, 25, key="x", series=theirs, denomination=coinage.denomination, first_year=1940
    )
    links = {link.pk: link.since for link in chain(standing_types())}
    assert links == {alone.pk: None, coinage.type.pk: None, later.pk: coinage.type.pk}


def test_a_type_is_compared_with_the_circulating_one_struck_last_before_it(
    coinage: Coinage,
) -> None:
    token = add_type(coinage, 25, key="token", denomination=coinage.denomination, last_year=1932)
    fete = add_type(
        coinage, 25, key="fete", denomination=coinage.denomination, first_year=1955,
        last_year=1955, purpose="commemorative",
    )  # fmt: skip
    later = later_type(coinage)
    ordered = in_order([token, fete, later, coinage.type])
    assert previous_type(later, ordered) == coinage.type
    assert previous_type(fete, ordered) == coinage.type


# ---- series ----
def test_a_series_is_a_plate_by_denomination_with_its_story(
    as_member: Client, coinage: Coinage
) -> None:
    add_type(coinage, 5)
    coinage.series.story = "Struck in haste."
    coinage.series.save()
    html = page(as_member, "series", "testland-first")
    assert html.index("5 tinne") < html.index("25 tinne")
    assert "Struck in haste." in html
    assert "2 types" in html


def test_a_series_leads_to_those_before_and_after(as_member: Client, coinage: Coinage) -> None:
    add_series(coinage, "earlier", 1919, 1930)
    add_series(coinage, "later", 1960, 1980)
    html = page(as_member, "series", "testland-first")
    assert "← Earlier, 1919–1930" in html
    assert "Later, 1960–1980 →" in html


def test_a_series_without_coins_says_what_to_do(as_member: Client, coinage: Coinage) -> None:
    coinage.type.delete()
    assert "No coin of this series yet" in page(as_member, "series", "testland-first")


# ---- type ----
def test_faces_and_changes_come_before_the_measures(as_member: Client, coinage: Coinage) -> None:
    later_type(coinage)
    html = page(as_member, "type", "late-25")
    texts = ("type-faces", "Smaller by one and a half millimetres", "<h2>Measures</h2>")
    order = [html.index(text) for text in texts]
    assert order == sorted(order)


def test_a_type_says_what_is_recorded_of_it(as_member: Client, coinage: Coinage) -> None:
    CoinType.objects.filter(pk=coinage.type.pk).update(
        outline="polygon", sides=12, edge="plain", alignment=6, remedy_g="0.1",
        tender_until="1960-12-31", exchange_until="..", exchange_where="Bank of Testland",
        citations=[{"source": "act", "where": "section 4"}],
    )  # fmt: skip
    Source.objects.create(key="act", title="Coinage Act, 1931", url="https://example.org/act")
    Reference.objects.create(coin_type=coinage.type, work="Moy", edition="2", number="14")
    html = page(as_member, "type", "testland-first-25")
    for text in (
        "twelve-sided", "coin alignment (6 o&#x27;clock)", "5.4\u00a0g", "until 31 December 1960",
        "without end, Bank of Testland", "Cu75Ni25", "Moy, 2: 14", "Coinage Act, 1931",
        "section 4", "https://example.org/act",
    ):  # fmt: skip
        assert text in html, text


def test_a_type_shows_its_legends_motifs_marks_and_people(
    as_member: Client, coinage: Coinage
) -> None:
    later = later_type(coinage)
    face = Face.objects.get(coin_type=later, side="obverse")
    Legend.objects.create(
        face=face, text="تستلند", script="Arab", transliteration="tistland", translation="Testland"
    )
    html = page(as_member, "type", "late-25")
    for text in (
        'dir="rtl"', "<i>tistland</i>", "“Testland”", "Arabic", 'href="/motifs/gull/"',
        "in flight", 'href="/people/ada-moy/"', "at 6 o&#x27;clock on the reverse",
    ):  # fmt: skip
        assert text in html, text


def test_issues_say_their_facts_and_what_is_held(
    as_member: Client, coinage: Coinage, make_holding: Callable[..., Holding]
) -> None:
    issue = coinage.issues[1]
    issue.mintage, issue.struck_to, issue.mark_text = 1_450_000, 1948, "S"
    issue.save()
    add_issue(coinage.type, 1941, fact="not_struck")
    add_issue(coinage.type, 1942, fact="not_recorded")
    Variety.objects.create(issue=issue, key="wide", name="wide 7", description="It meets the rim.")
    make_holding(issue=issue, quantity=2, grade="VF", grade_rank=32)
    make_holding(issue=issue, grade="EF", grade_rank=50)
    html = page(as_member, "type", "testland-first-25")
    for text in (
        "1947 S", "1947–48", "1\u202f450\u202f000", "not struck", "not recorded", "wide 7",
        "<b>3</b> · EF", "You hold 3 pieces",
    ):  # fmt: skip
        assert text in html, text


def test_a_type_leads_onward(as_member: Client, coinage: Coinage) -> None:
    later_type(coinage)
    add_type(coinage, 5)
    html = page(as_member, "type", "testland-first-25")
    for address in (
        "/series/testland-first/", "/countries/testland/", "/denominations/testland-25-tinne/",
        "/types/late-25/", "/types/testland-type-5/",
    ):  # fmt: skip
        assert f'href="{address}"' in html, address


def test_a_struck_picture_is_shown_large(as_member: Client, coinage: Coinage) -> None:
    Face.objects.filter(coin_type=coinage.type, side="obverse").update(picture="ab" * 32)
    assert "/types/testland-first-25/obverse/large.webp" in page(
        as_member, "type", "testland-first-25"
    )


def test_a_bare_type_is_still_a_page(as_member: Client, coinage: Coinage) -> None:
    CoinType.objects.create(key="bare", series=coinage.series, denomination=coinage.denomination)
    html = page(as_member, "type", "bare")
    assert "No dates are recorded yet." in html
    assert "drawn from its measures" in html


def test_a_proposed_type_is_shown_to_its_proposer_alone(
    as_member: Client, client: Client, coinage: Coinage, member: Any, other: Any
) -> None:
    proposed = add_type(coinage, 5, standing="proposed")
    Proposal.objects.create(coin_type=proposed, proposed_by=other)
    assert as_member.get(proposed.get_absolute_url()).status_code == 404
    client.force_login(other, backend="django.contrib.auth.backends.ModelBackend")
    assert "proposed" in page(client, "type", "testland-type-5")


def test_a_type_joined_to_another_leads_there(as_member: Client, coinage: Coinage) -> None:
    gone = add_type(coinage, 5, standing="joined", joined_to=coinage.type)
    response = as_member.get(gone.get_absolute_url())
    assert response.status_code == 302
    assert response["Location"] == coinage.type.get_absolute_url()


def test_a_type_in_the_bin_is_not_found(as_member: Client, coinage: Coinage) -> None:
    coinage.type.bin()
    assert as_member.get(coinage.type.get_absolute_url()).status_code == 404


@pytest.mark.parametrize("name", ["denomination", "series", "type"])
def test_an_unknown_key_is_not_found(as_member: Client, name: str) -> None:
    assert as_member.get(reverse(name, args=["nothing"])).status_code == 404


@pytest.mark.parametrize("name", ["denomination", "series", "type"])
def test_pages_only_read(as_member: Client, coinage: Coinage, name: str) -> None:
    assert as_member.post(reverse(name, args=["testland-first-25"])).status_code == 405


@pytest.mark.parametrize("name", ["denomination", "series", "type"])
def test_no_page_writes_a_style(as_member: Client, coinage: Coinage, name: str) -> None:
    later_type(coinage)
    keys = {"denomination": "testland-25-tinne", "series": "testland-first", "type": "late-25"}
    assert "style=" not in page(as_member, name, keys[name])


# ---- the number of queries does not grow ----
@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("denomination", "testland-25-tinne"),
        ("series", "testland-first"),
        ("type", "testland-first-25"),
    ],
)
def test_thirty_types_take_no_more_queries_than_three(
    as_member: Client, coinage: Coinage, make_holding: Callable[..., Holding], name: str, key: str
) -> None:
    def counted() -> int:
        page(as_member, name, key)
        with CaptureQueriesContext(connection) as queries:
            page(as_member, name, key)
        return len(queries)

    motif("gull").broader.add(motif("bird"))
    person("Ada Moy")

    def add(n: int) -> None:
        early = {"first_year": 1900 + n, "last_year": 1900 + n}
        add_type(coinage, n, key=f"same-{n}", denomination=coinage.denomination, **early)
        make_holding(coin_type=add_type(coinage, n))
        issue = add_issue(coinage.type, 1960 + n)
        Variety.objects.create(issue=issue, key="wide", name="wide")

    for n in (1, 2):
        add(n)
    few = counted()
    for n in range(3, 31):
        add(n)
    assert counted() == few
