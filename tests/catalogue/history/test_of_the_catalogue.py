"""A curator takes back the last change of a record of the catalogue; links of many to many."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client

from catalogue.history.keeping import doing
from catalogue.history.life import events_of, last_change
from catalogue.history.taking_back import CannotTakeBack, take_back, take_back_of_catalogue
from catalogue.models import Aim, Alteration, Deed, Holding, LabelStock, Member, Showing, WantList
from series.models import CoinType, Currency, Issue, Issuer, Mark, Motif, Series
from series.types.derived import derive_types
from tests.markup import markup
from valuation.models import PriceSource

BACKEND = "django.contrib.auth.backends.ModelBackend"


@pytest.fixture
def page(client: Client, curator: Member) -> Client:
    client.force_login(curator, backend=BACKEND)
    return client


def changed(record: Any, by: Member, **values: Any) -> Any:
    with doing(by):
        for name, value in values.items():
            setattr(record, name, value)
        record.save()
    return record


def undo(page: Client, address: str) -> str:
    """Press the button on a page of the record; the next page."""
    found = re.search(
        r'action="([^"]+/undo/)".*?name="change" value="(\d+)"',
        page.get(address).content.decode(),
        re.DOTALL,
    )
    assert found is not None
    done = page.post(found[1], {"change": found[2]}, follow=True)
    assert done.status_code == 200
    return markup(done.content.decode())


# ---- the pages ----
def test_the_last_change_is_undone_from_the_page_of_a_series(
    page: Client, curator: Member, coinage: Any
) -> None:
    changed(coinage.series, curator, name="Another", story="made up")
    said = undo(page, "/series/testland-first/")
    assert "Undone: name" in said
    series = Series.objects.get()
    assert (series.name, series.story) == ("First", "")
    assert "An earlier change was taken back" in said


def test_an_undone_change_is_not_offered_again_but_the_one_before(
    page: Client, curator: Member, coinage: Any
) -> None:
    changed(coinage.series, curator, name="Second")
    changed(coinage.series, curator, name="Third")
    undo(page, "/series/testland-first/")
    assert Series.objects.get().name == "Second"
    undo(page, "/series/testland-first/history/")
    assert Series.objects.get().name == "First"
    assert "Undo the last change" not in page.get("/series/testland-first/").content.decode()


def test_what_rests_on_it_is_worked_out_anew(page: Client, curator: Member, coinage: Any) -> None:
    derive_types([coinage.type.pk])
    before = CoinType.objects.get(pk=coinage.type.pk).search_text
    changed(coinage.issuer, curator, name="Overseas")
    derive_types([coinage.type.pk])
    assert CoinType.objects.get(pk=coinage.type.pk).search_text != before
    undo(page, "/countries/testland/")
    assert CoinType.objects.get(pk=coinage.type.pk).search_text == before


def test_a_type_is_undone_with_its_parts(page: Client, curator: Member, coinage: Any) -> None:
    """Through its form, as a curator changes it."""
    address = f"/types/{coinage.type.key}/"
    face = coinage.type.faces.get(side="obverse")
    with doing(curator):
        face.legends.create(text="NOVUM", position=9)
        changed_type = CoinType.objects.get(pk=coinage.type.pk)
        changed_type.name = "edited"
        changed_type.save()
    undo(page, address)
    assert CoinType.objects.get(pk=coinage.type.pk).name == coinage.type.name
    assert not face.legends.filter(text="NOVUM").exists()


def test_members_are_not_offered_it_and_may_not(
    as_member: Client, curator: Member, coinage: Any
) -> None:
    changed(coinage.series, curator, name="Another")
    assert "Undo" not in as_member.get("/series/testland-first/history/").content.decode()
    deed = Deed.objects.latest("pk")
    assert as_member.post("/series/testland-first/undo/", {"change": deed.pk}).status_code == 403
    assert Series.objects.get().name == "Another"


def test_something_newer_refuses_it(page: Client, curator: Member, coinage: Any) -> None:
    changed(coinage.series, curator, name="Second")
    old = Deed.objects.latest("pk")
    changed(coinage.series, curator, story="newer")
    done = page.post("/series/testland-first/undo/", {"change": old.pk}, follow=True)
    assert "Something else was changed since you looked" in done.content.decode()
    with pytest.raises(CannotTakeBack, match="was changed since"):
        take_back_of_catalogue(old, curator, coinage.series)
    assert Series.objects.get().name == "Second"


def test_a_date_that_somebody_holds_by_now_stays(
    curator: Member, coinage: Any, make_holding: Callable[..., Holding]
) -> None:
    with doing(curator):
        issue = Issue.objects.create(coin_type=coinage.type, key="1999", shown="1999")
    make_holding(issue=issue)
    last = last_change(coinage.type, curator)
    assert last is not None
    with pytest.raises(CannotTakeBack, match="Members hold or want 1999 by now"):
        take_back_of_catalogue(last.deed, curator, coinage.type)
    assert Issue.objects.filter(key="1999").exists()


def test_a_change_of_several_records_is_not_taken_back_by_one(
    curator: Member, coinage: Any, make_holding: Callable[..., Holding]
) -> None:
    holding = make_holding()
    with doing(curator):
        changed_series = Series.objects.get()
        changed_series.name = "Second"
        changed_series.save()
        holding.note = "moved along"
        holding.save()
    deed = Deed.objects.latest("pk")
    with pytest.raises(CannotTakeBack, match="It changed more than this record"):
        take_back_of_catalogue(deed, curator, coinage.series)
    with pytest.raises(CannotTakeBack, match="more than"):
        take_back_of_catalogue(deed, holding.owner, coinage.series)


# ---- links of many to many ----
def test_links_are_kept_shown_and_undone(page: Client, curator: Member, coinage: Any) -> None:
    neighbour = Issuer.objects.create(key="overland", name="Overland")
    currency = Currency.objects.get(key="testland-marl")
    with doing(curator):
        currency.issuers.set([neighbour])
    rows = Deed.objects.latest("pk").alterations.order_by("pk")
    assert [(each.before, each.after) for each in rows] == [
        ({"issuers": [coinage.issuer.pk]}, {"issuers": []}),
        ({"issuers": []}, {"issuers": [neighbour.pk]}),
    ]
    said = markup(page.get("/currencies/testland-marl/history/").content.decode())
    assert "<td role=cell class=prose>Testland</td>" in said.replace('"', "")
    assert "<td role=cell class=prose>Overland</td>" in said.replace('"', "")
    undo(page, "/currencies/testland-marl/history/")
    assert list(currency.issuers.all()) == [coinage.issuer]


@pytest.mark.parametrize(
    ("do", "after"),
    [
        (lambda here, there: here.broader.add(there), True),
        (lambda here, there: there.narrower.add(here), True),
        (lambda here, there: there.narrower.set([here]), True),
        (lambda here, there: (here.broader.add(there), here.broader.clear()), False),
        (lambda here, there: (here.broader.add(there), there.narrower.clear()), False),
        (lambda here, there: (here.broader.add(there), there.narrower.remove(here)), False),
    ],
)
def test_every_way_of_linking_is_announced_for_the_record_that_has_the_links(
    db: None, do: Callable[[Motif, Motif], None], after: bool
) -> None:
    here = Motif.objects.create(key="gull", name="gull")
    there = Motif.objects.create(key="bird", name="bird")
    with doing(None):
        do(here, there)
    rows = Alteration.objects.filter(row="series.motif").exclude(before=None).order_by("pk")
    assert {row.row_id for row in rows} == {here.pk}
    assert rows.last().after == {"broader": [there.pk] if after else []}  # type: ignore[union-attr]


def test_what_is_linked_already_is_no_change(db: None) -> None:
    here = Motif.objects.create(key="gull", name="gull")
    there = Motif.objects.create(key="bird", name="bird")
    here.broader.add(there)
    count = Alteration.objects.count()
    here.broader.set([there])
    here.broader.add(there)
    assert Alteration.objects.count() == count


def test_the_marks_of_a_date_are_told_by_its_text_and_come_back(
    curator: Member, coinage: Any
) -> None:
    issue = coinage.issues[0]
    mark = Mark.objects.create(coin_type=coinage.type, kind="mint", text="S", side="reverse")
    marks = list(issue.marks.all())
    with doing(curator):
        issue.marks.set([mark])
        issue.mark_text = "S"
        issue.save()
    last = last_change(coinage.type, curator)
    assert last is not None
    assert sum("marks" in line for line in last.undo) == 1
    take_back_of_catalogue(last.deed, curator, coinage.type)
    assert list(Issue.objects.get(pk=issue.pk).marks.all()) == marks


def test_the_aims_of_a_want_list_are_taken_back(member: Member, coinage: Any) -> None:
    aims = [Aim.objects.create(owner=member, name=n, series=coinage.series) for n in "ab"]
    listed = WantList.objects.create(owner=member, title="List")
    with doing(member):
        listed.aims.set(aims)
    take_back(Deed.objects.latest("pk"), member)
    assert not listed.aims.exists()


# ---- folded on the pages of a member's own records ----
def test_lists_pages_stocks_and_sources_have_their_history_folded_on_their_page(
    as_member: Client, member: Member
) -> None:
    with doing(member):
        records: dict[str, Any] = {
            "/lists/{}/": WantList.objects.create(owner=member, title="One"),
            "/showings/{}/": Showing.objects.create(owner=member, title="One"),
            "/sheets/stock/{}/": LabelStock.objects.create(
                owner=member,
                name="One",
                rows=8,
                columns=3,
                width_mm=60,
                height_mm=30,
                left_mm=5,
                top_mm=5,
            ),
            "/worth/sources/{}/": PriceSource.objects.create(owner=member, name="One"),
        }
    for address, record in records.items():
        with doing(member):
            name = "title" if hasattr(record, "title") else "name"
            setattr(record, name, "Two")
            record.save()
        said = as_member.get(address.format(record.pk)).content.decode()
        assert "record-life" in said, address
        assert re.search(r"One to Two|from “One” to “Two”", said), address
        assert "Entered" in said


def test_nobody_sees_the_history_of_anothers_source(member: Member, other: Member) -> None:
    source = PriceSource.objects.create(owner=member, name="One")
    source.name = "Two"
    source.save()
    assert [line for event in events_of(source, other) for line in event.lines] == ["entered"]
