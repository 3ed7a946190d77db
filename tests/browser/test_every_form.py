"""Every form of the site is sent by a browser, which may refuse what a test client allows."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from django.apps import apps
from django.core.files.storage import default_storage
from django.urls import resolve
from PIL import Image

from catalogue.models import Device, Holding, Want
from tests.catalogue.access_world import World, make_world
from tests.catalogue.test_access_walk import ROWS
from valuation.models import PriceSource

from .forms import FORMS, LEFT_OUT, SENT_ELSEWHERE, Form
from .test_first_evening import text_sent_for

PASSWORD = "a good long password"


@pytest.fixture
def world(transactional_db: None, tmp_path: Path) -> Any:
    made: Any = make_world()
    made.password, made.paper, made.picture = PASSWORD, tmp_path / "a.png", tmp_path / "b.png"
    for path in (made.paper, made.picture):
        Image.new("RGB", (60, 60), "#a08050").save(path)
    made.listed = tmp_path / "coins.csv"
    made.listed.write_text("Coin;Year\nA token;1901\n")
    made.zipped = tmp_path / "all.zip"
    with default_storage.open(made.archive.file) as archive:
        made.zipped.write_bytes(archive.read())
    made.owner.set_password(PASSWORD)
    made.owner.save()
    made.unknown = Holding.objects.create(owner=made.owner, accession="A.9")
    made.spare_source = PriceSource.objects.create(owner=made.owner, name="Not used")
    Device.objects.create(owner=made.owner, token_hash="another browser")
    made.other.lists_to_club = True
    made.other.save()
    Want.objects.create(owner=made.other, coin_type=made.coinage.type)
    return made


@pytest.mark.parametrize("subject", FORMS)
def test_every_form_does_what_it_is_for(
    subject: str, world: World, page_of: Callable[..., Any]
) -> None:
    pages: dict[str, Any] = {}
    for form in FORMS[subject]:
        if form.viewer not in pages:
            pages[form.viewer] = page_of(getattr(world, form.viewer))
            pages[form.viewer].on("dialog", lambda dialog: dialog.accept())
        page = pages[form.viewer]
        page.goto(form.page.format(w=world))
        before = _records()
        _send(page, form, world)
        changed = {name for name, rows in _records().items() if rows != before[name]}
        assert form.changes in changed, f"{form.to} changed {changed or 'nothing'}"


def _records() -> dict[str, list[Any]]:
    """Every record of the site, by model."""
    labels = ("series", "catalogue", "valuation")
    models = [model for label in labels for model in apps.get_app_config(label).get_models()]
    return {m.__name__: list(m._base_manager.order_by("pk").values_list()) for m in models}


def _send(page: Any, form: Form, world: World) -> None:
    """Fill the form, press its button, and see that it is not refused."""
    page.evaluate("document.querySelectorAll('details').forEach(each => each.open = true)")
    found = _form(page, form)
    for name, value in form.fields.items():
        _fill(found.locator(f"[name={name}]"), value.format(w=world))
    chosen = f"[value='{form.button}']" if form.button else ":not([type=button])"
    with page.expect_response(partial(_is_answer, name=form.to)) as got:
        found.locator(f"button{chosen}").first.click()
    answer = got.value
    assert answer.status < 400, f"{form.to} was answered with {answer.status}"
    page.wait_for_load_state()


def _is_answer(answer: Any, name: str) -> bool:
    """Whether it is what the page goes on to; what a form is told while one types is not."""
    sent, path = answer.request, urlsplit(answer.url).path
    went = sent.method == "POST" and sent.is_navigation_request()
    return went and resolve(path).url_name == name


def _form(page: Any, form: Form) -> Any:
    forms = page.locator("form[method=post]")
    paths = forms.evaluate_all("all => all.map(each => new URL(each.action).pathname)")
    fitting = [
        forms.nth(number)
        for number, path in enumerate(paths)
        if resolve(path).url_name == form.to
        and all(forms.nth(number).locator(f"[name={name}]").count() for name in form.fields)
    ]
    assert fitting, f"no form for {form.to} on {page.url}"
    return fitting[0]


def _fill(fields: Any, value: str) -> None:
    first = fields.first
    tag, kind = first.evaluate("field => [field.localName, field.type]")
    if tag == "select":
        first.select_option(label=_option(first, value))
    elif kind == "radio":
        fields.and_(fields.page.locator(f"[value={value}]")).check()
    elif kind == "checkbox":
        first.check()
    elif kind == "file":
        first.set_input_files(value)
    else:
        first.fill(value)


def _option(select: Any, words: str) -> str:
    labels: list[str] = select.locator("option").all_text_contents()
    return next(label for label in labels if words in label)


def test_a_change_in_bulk_is_looked_over_and_made(
    world: World, page_of: Callable[..., Any]
) -> None:
    page = page_of(world.owner)
    page.goto("/holdings/?view=list")
    page.get_by_role("checkbox", name="choose A.1").check()
    page.get_by_role("button", name="Change…").click()
    page.locator("[name=grade_do][value=set]").check()
    page.get_by_label("Grade", exact=True).fill("EF")
    page.get_by_role("button", name="Look it over").click()
    page.locator("main form button").first.click()
    page.wait_for_url("**/holdings/?**")
    assert Holding.objects.get(accession="A.1").grade == "EF"


def test_album_pages_are_drawn_for_what_is_sought(
    world: World, page_of: Callable[..., Any]
) -> None:
    world.want_list.aims.add(world.aim)
    page = page_of(world.owner)
    for sought in (f"aim/{world.aim.pk}", f"list/{world.want_list.pk}"):
        page.goto(f"/sheets/album/{sought}/")
        words = text_sent_for(page, "Draw the pages")
        assert "1947" in words
        assert "1953" in words


# ---- none is forgotten ----
def test_every_address_that_takes_a_form_is_in_the_table() -> None:
    takes = {row.split(":")[0] for method, row, *_ in ROWS if method == "POST"}
    sent = {form.to for forms in FORMS.values() for form in forms}
    known = sent | set(SENT_ELSEWHERE) | set(LEFT_OUT)
    assert (sorted(takes - known), sorted(known - takes)) == ([], []), "missing, gone"


def test_what_is_sent_elsewhere_is_sent_by_a_test_there_is() -> None:
    for place in SENT_ELSEWHERE.values():
        file, test = place.split("::")
        assert f"def {test}(" in (Path(__file__).parent / file).read_text(), place
