"""The page "What is this?": what it ranks and shows, and what it says of wrong input."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from catalogue.holdings.changes import note_everything
from catalogue.identifying.shown_answer import MOST_READINGS
from catalogue.models import Holding, Member, Observation
from series.models import CoinType, Denomination, Issue
from series.types.derived import derive_types
from tests.markup import markup

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}


@pytest.fixture
def two(coinage: Any) -> Any:
    """A second type, told from the first by its size, metal and dates."""
    dime = Denomination.objects.create(
        key="testland-10-tinne",
        currency=coinage.currency,
        name="10 tinne",
        value_numerator=1,
        value_denominator=10,
    )
    made = CoinType.objects.create(
        key="testland-first-10",
        series=coinage.series,
        denomination=dime,
        composition="Cu95Sn4Zn1",
        diameter_mm="19",
        mass_g="3.1",
        first_year=1935,
        last_year=1935,
    )
    Issue.objects.create(coin_type=made, key="1935", shown="1935", struck_from=1935, struck_to=1935)
    derive_types()
    coinage.other = made
    return coinage


def names(response: Any) -> list[str]:
    return [row.candidate.label for row in response.context["rows"]]


def get(client: Client, **asked: str) -> Any:
    return client.get(reverse("identify"), asked)


def test_it_ranks_what_fits_first(as_member: Client, two: Any) -> None:
    response = get(as_member, diameter="19.0", mass="3.05")
    assert names(response)[0] == "10 tinne"
    page = response.text
    assert "diameter agrees" in page
    assert "Your piece, 19 mm" in page
    assert "authenticates nothing" in page
    response = get(as_member, diameter="23.5", mass="5.4")
    assert names(response)[0] == "25 tinne"


def test_nobody_ranks_without_signing_in(client: Client, two: Any) -> None:
    for name in ("identify", "identify-compare"):
        response = client.get(reverse(name))
        assert response.status_code == 302
        assert "/sign-in/" in response["Location"]


def test_before_anything_is_put_in_it_says_where_to_begin(as_member: Client, two: Any) -> None:
    response = get(as_member)
    assert response.context["rows"] == []
    assert "Where to begin" in response.text
    looks = response.context["first_looks"]
    assert 1 <= len(looks) <= 3
    for look in looks:
        assert f'id="id_{look.kind}"' in response.text


def test_without_records_it_says_how_to_load_them(as_member: Client) -> None:
    page = get(as_member, diameter="19").text
    assert "load_pack" in page
    assert 'class="candidates"' not in page


WRONG = {
    "diameter": "big",
    "mass_within": "fine",
    "hole": "star",
    "sides": "2",
    "year": "nineteen",
    "script": "runes",
    "temperature": "90",
    "thickness": "400",
}


def test_wrong_input_is_said_at_its_field_and_the_rest_is_ranked(
    as_member: Client, two: Any
) -> None:
    response = get(as_member, mass="3.05", water="2.7", legend="X" * 400, **WRONG)
    assert response.status_code == 200
    assert names(response)[0] == "10 tinne"
    assert set(response.context["asked"].errors) == {*WRONG, "legend"}
    assert response.context["evidence"].given == ("mass",)
    for name, text in WRONG.items():
        said = re.search(rf'id="{name}-said"[^>]*>(.*?)</div>', response.text, re.S)
        assert said is not None
        assert "<p" in said[1], name
        assert f'value="{text}"' in response.text, name


def test_what_was_put_in_is_never_taken_for_markup(as_member: Client, two: Any) -> None:
    page = get(as_member, legend="<b>LIB</b>", country='"><i>', motif="<s>").text
    assert "<b>LIB" not in page
    assert '"><i>' not in page
    assert "<s>" not in page


def test_to_htmx_the_answer_comes_alone_with_the_messages(as_member: Client, two: Any) -> None:
    response = as_member.get(
        reverse("identify"), {"diameter": "19", "mass": "x", "legend": "", "tools": ""},
        headers={"HX-Request": "true"},
    )  # fmt: skip
    page = markup(response.text)
    assert "<html" not in page
    assert '<form class="ask"' not in page
    assert names(response)[0] == "10 tinne"
    assert re.search(r'id="mass-said"[^>]*hx-swap-oob="true"[^>]*><p', page)
    assert re.search(r'id="diameter-said"[^>]*hx-swap-oob="true"[^>]*></div>', page)
    assert re.search(r'id="summary"[^>]*hx-swap-oob', page)
    assert response["HX-Replace-Url"] == "/identify/?diameter=19&mass=x"
    assert "HX-Request" in response["Vary"]


def test_every_field_of_the_evidence_is_in_the_form(as_member: Client, two: Any) -> None:
    from series.identifying.evidence import FIELDS

    page = get(as_member).text
    assert [name for name in FIELDS if f'name="{name}"' not in page] == []
    said = set(re.findall(r'id="(\w+)-said"', page))
    assert [name for name in FIELDS if name not in said] == []


def test_tools_at_hand_are_remembered(as_member: Client, two: Any) -> None:
    asked = {"denomination": "tinne"}
    assert get(as_member, **asked).context["answer"].next.kind in ("diameter", "mass")
    response = as_member.get(reverse("identify"), asked | {"tools": ["", "magnet"]})
    assert response.context["asked"].tools == ("magnet",)
    again = get(as_member, **asked)
    assert again.context["asked"].tools == ("magnet",)
    assert {look.kind for look in again.context["answer"].looks} & {"diameter", "mass"} == set()


def test_no_tool_at_hand_is_remembered_too(as_member: Client, two: Any) -> None:
    as_member.get(reverse("identify"), {"tools": ""})
    assert get(as_member).context["asked"].tools == ()


def test_a_date_alone_makes_it_a_calendar_converter(as_member: Client, two: Any) -> None:
    response = get(as_member, year="1947")
    assert "What the date may mean" in response.text
    assert "1947" in [line.shown for line in response.context["readings"].lines]
    assert names(response) == ["25 tinne"]
    (line,) = [each for each in response.context["readings"].lines if each.calendar == "civil"]
    assert line.struck == ("25 tinne, Testland",)


def test_a_date_of_another_calendar_is_converted(as_member: Client, two: Any) -> None:
    """1389 AH began on 20 March 1969 (the arithmetical calendar of Calendrical Calculations)."""
    response = get(as_member, year="١٣٨٩", calendar="hijri")
    (line,) = response.context["readings"].lines
    assert (line.shown, line.civil) == ("1389", "1969–1970")
    assert line.words == "1389 AH, 20 March 1969 to 8 March 1970"
    assert "No type in the records bears it" in response.text


def test_with_a_date_that_no_type_bears_nothing_is_ranked(as_member: Client, two: Any) -> None:
    page = get(as_member, year="昭和五十三年").text
    assert "Showa 53, 1978" in page
    for ranked in ("Look at this next", "Other types together", "A ranking says"):
        assert ranked not in page
    assert "Not sure: keep it unidentified" in page


def test_what_many_types_fit_is_not_said_to_fit_none(as_member: Client, two: Any) -> None:
    """A letter that cannot be read tells nothing: no type leads, and none is ruled out."""
    for number in range(40):
        CoinType.objects.create(
            key=f"like-{number}", series=two.series, denomination=two.denomination
        )
    response = get(as_member, legend="???")
    answer = response.context["answer"]
    assert answer.candidates[0].probability < answer.none_of_these < 0.5
    assert "Nothing in the records fits well" not in response.text
    assert response.context["summary"].startswith("Likeliest type: ")


def test_of_very_many_readings_not_all_are_listed(as_member: Client, two: Any) -> None:
    readings = get(as_member, year="??5").context["readings"]
    assert len(readings.lines) == MOST_READINGS
    assert readings.more > 0


def test_a_date_among_other_things_is_folded_away(as_member: Client, two: Any) -> None:
    response = get(as_member, year="1947", diameter="23.5")
    assert "<summary>What the date may mean" in response.text
    assert "What it can be" in response.text


def test_issues_have_their_chances_where_they_differ(as_member: Client, two: Any) -> None:
    row = get(as_member, diameter="23.5").context["rows"][0]
    assert row.issues_words == "dated 1931, 1947, 1953"
    assert row.likely_issue is None
    row = get(as_member, diameter="23.5", year="1947").context["rows"][0]
    assert row.issues_words.startswith("dated 1947")
    assert row.likely_issue == two.issues[1].pk


def test_it_is_kept_from_the_page_with_all_that_was_put_in(
    as_member: Client, member: Member, two: Any
) -> None:
    """The fields of "This is it", sent as they stand."""
    page = markup(get(as_member, diameter="23.4", year="1947", legend="HAL?").text)
    form = page[page.index('class="this-is-it"') :]
    form = form[: form.index("</form>")]
    sent = dict(re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)"', form))
    as_member.post(reverse("identify-keep"), sent)
    kept = Holding.objects.get(owner=member)
    assert (kept.coin_type, kept.issue) == (two.type, two.issues[1])
    texts = Observation.objects.get(holding=kept).texts
    assert texts == {"diameter": "23.4", "year": "1947", "legend": "HAL?"}


def test_a_kept_piece_fills_the_form_and_is_ranked_again(
    as_member: Client, member: Member, two: Any
) -> None:
    as_member.post(reverse("identify-keep"), {"diameter": "19.0", "type": "", "issue": ""})
    piece = Holding.objects.get(owner=member)
    response = get(as_member, holding=str(piece.pk))
    assert names(response)[0] == "10 tinne"
    assert 'value="19.0"' in response.text
    page = markup(response.text)
    assert f'name="holding" value="{piece.pk}"' in page
    assert f'name="row_version" value="{piece.row_version}"' in page
    changed = get(as_member, holding=str(piece.pk), diameter="23.5")
    assert names(changed)[0] == "25 tinne"


def test_the_version_seen_first_goes_with_the_piece(
    as_member: Client, member: Member, two: Any
) -> None:
    """A piece that was changed while the page stood open must not be taken for seen."""
    as_member.post(reverse("identify-keep"), {"diameter": "19.0", "type": "", "issue": ""})
    piece = Holding.objects.get(owner=member)
    page = markup(get(as_member, holding=str(piece.pk), diameter="23", row_version="1").text)
    assert set(re.findall(r'name="row_version" value="(\d+)"', page)) == {"1"}


@pytest.mark.parametrize("asked", ["x", "999999", "9" * 30, "-1"])
def test_a_piece_that_is_not_there_is_not_found(as_member: Client, two: Any, asked: str) -> None:
    assert get(as_member, holding=asked).status_code == 404


def test_a_type_proposed_by_another_is_not_ranked(
    as_member: Client, curator: Member, client: Client, two: Any
) -> None:
    CoinType.objects.filter(pk=two.other.pk).update(standing="proposed")
    derive_types()
    assert "10 tinne" not in names(get(as_member, diameter="19"))
    client.force_login(curator, backend="django.contrib.auth.backends.ModelBackend")
    assert "10 tinne" in names(get(client, diameter="19"))


def test_the_number_of_queries_does_not_grow_with_the_candidates(
    as_member: Client, two: Any, django_assert_max_num_queries: Any
) -> None:
    asked = {"denomination": "25", "year": "1947"}
    get(as_member, **asked)
    with django_assert_max_num_queries(10) as few:
        assert len(names(get(as_member, **asked))) == 1
        count = len(few)
    for n in range(12):
        like = CoinType.objects.create(
            key=f"like-{n}",
            series=two.series,
            denomination=two.denomination,
            first_year=1947,
            last_year=1947,
        )
        Issue.objects.create(coin_type=like, key="1947", shown="1947", struck_from=1947)
    note_everything()
    get(as_member, **asked)
    with django_assert_max_num_queries(count):
        assert len(names(get(as_member, **asked))) > 5


def test_holdings_and_the_front_page_lead_to_it(as_member: Client, two: Any) -> None:
    for name in ("home", "holdings"):
        page = as_member.get(reverse(name)).text
        assert page.count('href="/identify/"') >= 2, name


def test_where_several_issues_fit_one_is_chosen(as_member: Client, two: Any) -> None:
    """The likeliest stands first, and is chosen only if it is likelier than all others."""
    page = get(as_member, diameter="23.5", year="19?7").text
    assert '<select id="issue-' not in page
    page = get(as_member, diameter="23.5", year="19??").text
    options = re.findall(r'<option value="(\d+)"( selected)?>(19\d\d)', page)
    assert sorted(shown for _, _, shown in options) == ["1931", "1947", "1953"]
    assert not any(chosen for _, chosen, _ in options)
    assert "date left open" in page


def test_a_hangul_legend_stored_as_such_fits_the_choice_of_korean(
    as_member: Client, two: Any
) -> None:
    face = two.type.faces.get(side="obverse")
    face.legends.create(text="오십 원", script="Hang")
    note_everything()
    assert "there is Korean on it" in get(as_member, script="Korean").text
