"""Changing the type of a piece: the date goes along, or is asked for; nothing is lost unsaid."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from catalogue.holdings.dates.carried import Carried, as_read, carry, carry_reading
from catalogue.holdings.finding.typeahead import type_label
from catalogue.models import Holding
from series.models import CoinType, Issue, Variety


@pytest.fixture
def larger(coinage: Any) -> CoinType:
    """Another type, struck in 1931, in 1947 with two marks, never in 1953, and in 1960."""
    made = CoinType.objects.create(
        key="testland-50",
        name="large",
        series=coinage.series,
        denomination=coinage.denomination,
        search_text="25 tinne large first testland",
    )
    dates = [("1931", "", "struck"), ("1947", "N", "struck"), ("1947", "S", "struck")]
    dates += [("1953", "", "not_struck"), ("1960", "", "struck")]
    for shown, mark, fact in dates:
        Issue.objects.create(
            coin_type=made,
            key=f"{shown}-{mark}".strip("-").lower(),
            shown=shown,
            mark_text=mark,
            fact=fact,
            struck_from=int(shown),
            struck_to=int(shown),
        )
    return made


def sent(piece: Holding, wanted: CoinType | None, **fields: Any) -> dict[str, Any]:
    """What the page of one's piece sends without its script once another type was typed in."""
    return {
        "type_text": type_label(wanted) if wanted else "",
        "shown_type": piece.coin_type_id or "",
        "issue": piece.issue_id or "",
        "variety": piece.variety_id or "",
        "date_reading": piece.date_reading,
        "accession": piece.accession,
        "quantity": piece.quantity,
        "grade_scale": piece.grade_scale,
        "visibility": piece.visibility,
        "row_version": piece.row_version,
    } | fields


def again(page: Any, data: dict[str, Any], **fields: Any) -> dict[str, Any]:
    """The same once more, with what the page that came back holds for the date."""
    form = page.context["form"]
    names = ("type_text", "coin_type", "shown_type", "date_was", "date_reading", "issue")
    return data | {name: form[name].value() or "" for name in names} | fields


def edit(client: Client, holding: Holding, data: dict[str, Any]) -> Any:
    return client.post(f"/holdings/{holding.pk}/edit/", data)


def test_a_date_of_both_types_stays(
    as_member: Client, make_holding: Any, coinage: Any, larger: CoinType
) -> None:
    holding = make_holding(issue=coinage.issues[0], grade="VF", note="from the tin")
    answer = as_member.post(
        f"/holdings/{holding.pk}/edit/",
        sent(holding, larger, grade="VF", note="from the tin"),
        follow=True,
    )
    holding.refresh_from_db()
    assert (holding.coin_type, str(holding.issue)) == (larger, "1931")
    assert (holding.grade, holding.note) == ("VF", "from the tin")
    assert "It is 25 tinne, large, 1931 now." in answer.text


@pytest.mark.parametrize(
    ("place", "words"),
    [
        (1, "of 25 tinne, large several dates could be meant"),
        (2, "25 tinne, large was not struck with that date"),
    ],
)
def test_a_date_that_does_not_fit_is_asked_for(
    as_member: Client, make_holding: Any, coinage: Any, larger: CoinType, place: int, words: str
) -> None:
    holding = make_holding(issue=coinage.issues[place])
    data = sent(holding, larger, note="my own words")
    page = edit(as_member, holding, data)
    assert words in page.text
    assert "my own words" in page.text
    holding.refresh_from_db()
    assert (holding.coin_type, holding.issue) == (coinage.type, coinage.issues[place])
    unanswered = edit(as_member, holding, again(page, data))
    assert words in unanswered.text
    chosen = Issue.objects.get(coin_type=larger, key="1947-s")
    edit(as_member, holding, again(page, data, issue=chosen.pk))
    holding.refresh_from_db()
    assert (holding.coin_type, holding.issue) == (larger, chosen)


def test_what_could_be_meant_is_offered_first(
    as_member: Client, make_holding: Any, coinage: Any, larger: CoinType
) -> None:
    holding = make_holding(issue=coinage.issues[1])
    page = edit(as_member, holding, sent(holding, larger))
    groups = dict(page.context["form"].date.question.options()[1:])
    assert [label for _key, label in groups["Could be meant"]] == ["1947 N", "1947 S"]
    assert [label for _key, label in groups["Dates of this type"]] == [
        "1931",
        "1953, not struck",
        "1960",
    ]
    assert [key for key, _label in groups["None of these"]] == ["as-read", "open"]


@pytest.mark.parametrize(("answer", "kept"), [("as-read", "1953"), ("open", "")])
def test_a_date_that_is_none_of_the_types_is_kept_as_read_or_left_open(
    as_member: Client, make_holding: Any, coinage: Any, larger: CoinType, answer: str, kept: str
) -> None:
    holding = make_holding(issue=coinage.issues[2])
    data = sent(holding, larger)
    page = edit(as_member, holding, data)
    assert edit(as_member, holding, again(page, data, issue=answer)).status_code == 302
    holding.refresh_from_db()
    assert (holding.coin_type, holding.issue, holding.date_reading) == (larger, None, kept)


def test_what_was_read_of_the_date_is_what_is_kept(
    as_member: Client, make_holding: Any, coinage: Any, larger: CoinType
) -> None:
    holding = make_holding(issue=coinage.issues[2], date_reading="19X3")
    data = sent(holding, larger)
    page = edit(as_member, holding, data)
    assert "keep “19?3” as read" in page.text
    edit(as_member, holding, again(page, data, issue="as-read"))
    holding.refresh_from_db()
    assert (holding.issue, holding.date_reading) == (None, "19X3")


def test_an_answer_outlives_another_fault_of_the_form(
    as_member: Client, make_holding: Any, coinage: Any, larger: CoinType
) -> None:
    holding = make_holding(issue=coinage.issues[2])
    data = sent(holding, larger)
    page = edit(as_member, holding, data)
    page = edit(as_member, holding, again(page, data, issue="as-read", quantity="0"))
    assert page.context["form"]["date_reading"].value() == "1953"
    edit(as_member, holding, again(page, data, quantity="1"))
    holding.refresh_from_db()
    assert (holding.coin_type, holding.date_reading) == (larger, "1953")


def test_while_the_type_is_unclear_its_date_stays_chosen(
    as_member: Client, make_holding: Any, coinage: Any, larger: CoinType
) -> None:
    twin = CoinType.objects.create(
        key="twin",
        name="small",
        series=coinage.series,
        denomination=coinage.denomination,
        search_text="25 tinne small first testland",
    )
    holding = make_holding(issue=coinage.issues[0])
    data = sent(holding, None, type_text="25 tinne")
    page = edit(as_member, holding, data)
    assert page.text.count('name="picked_type"') >= 2
    assert f'<option value="{coinage.issues[0].pk}" selected>' in page.text
    edit(as_member, holding, again(page, data, picked_type=larger.pk))
    holding.refresh_from_db()
    assert (holding.coin_type, str(holding.issue)) == (larger, "1931")
    assert twin.pk != holding.coin_type_id


def test_a_date_that_was_read_is_found_among_those_of_the_new_type(
    as_member: Client, make_holding: Any, coinage: Any, larger: CoinType
) -> None:
    holding = make_holding(date_reading="1960")
    edit(as_member, holding, sent(holding, larger))
    holding.refresh_from_db()
    assert (holding.coin_type, str(holding.issue)) == (larger, "1960")


def test_a_piece_that_has_no_type_any_more_keeps_its_date_as_read(
    as_member: Client, make_holding: Any, coinage: Any
) -> None:
    holding = make_holding(issue=coinage.issues[1])
    data = sent(holding, None, title="Small and brown")
    page = as_member.post(f"/holdings/{holding.pk}/edit/", data, follow=True)
    holding.refresh_from_db()
    assert (holding.coin_type, holding.issue, holding.date_reading) == (None, None, "1947")
    assert "kept as read: 1947" in page.text


def test_a_variety_goes_along_by_its_name_or_is_asked_about(
    as_member: Client, make_holding: Any, coinage: Any, larger: CoinType
) -> None:
    old = Variety.objects.create(issue=coinage.issues[0], key="wide", name="wide date")
    holding = make_holding(issue=coinage.issues[0], variety=old)
    data = sent(holding, larger)
    page = edit(as_member, holding, data)
    assert "The variety “wide date” is none of this date" in page.text
    holding.refresh_from_db()
    assert holding.variety == old
    new = Variety.objects.create(issue=larger.issues.first(), key="w", name="wide date")
    edit(as_member, holding, data)
    holding.refresh_from_db()
    assert (holding.coin_type, holding.variety) == (larger, new)


def test_a_stale_change_of_type_shows_both(
    as_member: Client, make_holding: Any, coinage: Any, larger: CoinType
) -> None:
    holding = make_holding(issue=coinage.issues[0], note="first")
    data = sent(holding, larger, note="mine")
    holding.note = "stored meanwhile"
    holding.save()
    page = edit(as_member, holding, data)
    assert "stored meanwhile" in page.text
    holding.refresh_from_db()
    assert holding.coin_type == coinage.type
    row_version = page.context["form"]["row_version"].value()
    edit(as_member, holding, again(page, data, row_version=row_version))
    holding.refresh_from_db()
    assert (holding.coin_type, str(holding.issue), holding.note) == (larger, "1931", "mine")


def test_the_part_of_the_form_asks_before_anything_is_sent(
    as_member: Client, make_holding: Any, coinage: Any, larger: CoinType
) -> None:
    holding = make_holding(issue=coinage.issues[2])
    data = sent(holding, larger, holding=holding.pk)
    part = as_member.post("/holdings/new/dates/", data)
    assert "25 tinne, large was not struck with that date" in part.text
    assert "<html" not in part.text
    holding.refresh_from_db()
    assert holding.coin_type == coinage.type
    kept = as_member.post("/holdings/new/dates/", data | {"issue": coinage.issues[0].pk})
    assert "The date stays 1931." in kept.text


def test_dates_of_a_type_one_may_not_see_are_not_told(
    as_member: Client, make_holding: Any, coinage: Any, larger: CoinType
) -> None:
    hidden = CoinType.objects.create(
        key="hidden",
        series=coinage.series,
        denomination=coinage.denomination,
        standing="proposed",
    )
    secret = Issue.objects.create(coin_type=hidden, key="1899", shown="1899")
    holding = make_holding()
    part = as_member.post(
        "/holdings/new/dates/", sent(holding, larger, shown_type=hidden.pk, issue=secret.pk)
    )
    assert "1899" not in part.text


def dated(pk: int, shown: str, **fields: Any) -> Issue:
    return Issue(pk=pk, shown=shown, **fields)


def test_a_date_is_carried_by_what_it_shows_and_its_marks() -> None:
    was = dated(1, "1947", mark_text="S+R", struck_from=1947, struck_to=1947)
    same = dated(2, "1947", mark_text="R+S", struck_from=1947, struck_to=1947)
    proof = dated(3, "1947", mark_text="R+S", purpose="proof", struck_from=1947, struck_to=1947)
    assert carry(was, [proof, same]).issue == same
    assert carry(was, [proof]).choices == (proof,)
    other_calendar = dated(4, "1947", calendar="hijri")
    assert carry(was, [other_calendar]) == carry(was, [])


def test_of_two_alike_the_one_struck_in_the_same_years_is_meant() -> None:
    was = dated(1, "1943", struck_from=1943, struck_to=1943)
    first = dated(2, "1943", struck_from=1943, struck_to=1943)
    later = dated(3, "1943", struck_from=1950, struck_to=1951)
    thin = dated(4, "1943", note="thin")
    assert carry(was, [first, later]).issue == first
    assert carry(was, [later, thin]).choices == (later, thin)


def test_without_the_date_those_of_its_years_could_be_meant() -> None:
    was = dated(1, "١٣٨٩", calendar="hijri", struck_from=1969, struck_to=1970)
    issues = [dated(2, "1969", struck_from=1969), dated(3, "1975", struck_from=1975)]
    assert carry(was, issues).choices == (issues[0],)
    assert as_read(was) == "[1969,1970]"
    issues = [
        dated(2, "1971", struck_from=1971),
        dated(3, "1970", struck_to=1970),
        dated(4, "1960", struck_from=1960, struck_to=1969),
        dated(5, "1960", struck_from=1960, struck_to=1968),
        dated(6, "1960"),
    ]
    assert carry(was, issues).choices == (issues[1], issues[2])


def test_an_undated_issue_is_no_date_to_carry() -> None:
    was = dated(1, "", struck_from=1890, struck_to=1895)
    assert carry(was, [dated(2, "")]) == carry(was, [])
    assert as_read(was) == ""


def test_a_reading_is_carried_only_where_it_was_read_whole() -> None:
    issues = [dated(2, "1908", struck_from=1908), dated(3, "1910", struck_from=1910)]
    assert carry_reading("1908", issues).issue == issues[0]
    assert carry_reading("19X8", issues).issue is None
    assert carry_reading("1908~", issues).issue is None
    assert carry_reading("not a date", issues).choices == ()


def test_of_a_date_that_was_not_struck_it_is_said_so_and_of_no_other() -> None:
    never = dated(2, "1947", fact="not_struck", struck_from=1947, struck_to=1947)
    assert carry(dated(1, "1947"), [never]) == Carried(not_struck=True)
    assert carry_reading("1947", [never]).not_struck is False
    assert carry(dated(1, "1948"), [never]).not_struck is False
    struck = dated(3, "1948")
    assert carry(dated(1, "1948"), [never, struck]) == Carried(struck, (), not_struck=False)


def test_a_date_of_which_no_striking_is_recorded_may_be_the_one_that_was_read() -> None:
    unknown = dated(2, "1949", fact="not_recorded", struck_from=1949, struck_to=1949)
    assert carry_reading("1949", [unknown]).issue == unknown


def test_keeping_a_piece_as_identified_leaves_the_date_that_was_read(
    as_member: Client, make_holding: Any, coinage: Any
) -> None:
    holding = make_holding(coin_type=None, title="Brown", date_reading="19X7")
    as_member.post(
        "/identify/keep/",
        {"holding": holding.pk, "row_version": 1, "type": coinage.type.pk, "mass": "5.4"},
    )
    holding.refresh_from_db()
    assert (holding.coin_type, holding.date_reading) == (coinage.type, "19X7")


def test_a_date_goes_along_as_read_where_only_the_years_of_the_type_are_known(
    as_member: Client, make_holding: Any, coinage: Any
) -> None:
    years = {"first_year": 1940, "last_year": 1950}
    undated = CoinType.objects.create(
        key="testland-years", name="years only", series=coinage.series,
        denomination=coinage.denomination, search_text="25 tinne years only first testland",
        **years,
    )  # fmt: skip
    holding = make_holding(issue=coinage.issues[1])
    edit(as_member, holding, sent(holding, undated))
    holding.refresh_from_db()
    assert (holding.coin_type, holding.issue, holding.date_reading) == (undated, None, "1947")
    other = make_holding(issue=coinage.issues[2])
    page = edit(as_member, other, sent(other, undated))
    assert "was struck 1940–50, not with that date" in page.text
