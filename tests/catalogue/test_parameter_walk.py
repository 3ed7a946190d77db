"""Every parameter that names a record, asked for as five viewers: nothing hidden is answered.

``parameter_table.txt`` has a row for every address and every parameter in it, or field sent to it,
that names a record by its id, key or number: which record of ``secret_world`` is named, then the
answers as in ``access_table.txt``. From whom the record is hidden gets, to the letter, what they
get for a record that is not there, sees no secret of the other member, and changes nothing of
theirs.

How the table is complete: every parameter a view looks up is noted while the site is walked; every
name that the source asks a request for, and every field of a form that chooses among records, is
read out of the code. Whatever is found stands in the table, as a row or as ``plain``, which names
no record.
"""

from __future__ import annotations

import difflib
import html
import re
from collections import defaultdict
from collections.abc import Iterator
from http.cookies import SimpleCookie
from pathlib import Path
from typing import Any
from urllib.parse import quote_plus, urlencode

import pytest
from django import forms
from django.apps import apps
from django.db import models, transaction
from django.http import QueryDict
from django.test import Client, override_settings
from django.urls import reverse
from django.utils.datastructures import MultiValueDict

from tests.poppler import pdftotext

from .access_addresses import ARGUMENTS, ASKED, SENT
from .secret_world import (
    BESIDE,
    MARK,
    OF_ONES_OWN,
    PRICE,
    SAMPLES,
    SecretWorld,
    make_secret_world,
    own_record,
)
from .test_access_walk import ROWS as ADDRESSES
from .test_access_walk import VIEWERS, cookies, media, world_media

__all__ = ["cookies", "media", "world_media"]

pytestmark = pytest.mark.django_db
TABLE = Path(__file__).with_name("parameter_table.txt")
ROOT = Path(__file__).parents[2]


def _lines() -> list[list[str]]:
    lines = (re.split(r"(?:^|\s)#", line)[0].split() for line in TABLE.read_text().splitlines())
    return [cells for cells in lines if cells]


LINES = _lines()
ROWS = [cells for cells in LINES if cells[0] != "plain"]
PLAIN: dict[str, set[str]] = defaultdict(set)
for _plain, _where, *_names in (cells for cells in LINES if cells[0] == "plain"):
    PLAIN[_where].update(_names)


@pytest.fixture(scope="module")
def world(django_db_setup: None, django_db_blocker: Any, media: Path) -> Iterator[SecretWorld]:
    with django_db_blocker.unblock(), override_settings(MEDIA_ROOT=media), transaction.atomic():
        yield make_secret_world()
        transaction.set_rollback(True)


def _browser(cookies: dict[str, SimpleCookie], viewer: str) -> Client:
    client = Client(raise_request_exception=False)
    client.cookies = SimpleCookie(cookies[viewer].output(header="", sep=";"))
    return client


def _address(world: SecretWorld, row: str, viewer: str) -> str:
    if row in OF_ONES_OWN:
        member = getattr(world, "owner" if viewer == "visitor" else viewer)
        return reverse(row, args=[own_record(member, OF_ONES_OWN[row]).pk])
    fill = ARGUMENTS.get(row)
    return reverse(row, kwargs=fill(world.world) if fill else None)


# ---- asking ----
def _ask(client: Client, method: str, address: str, sent: dict[str, Any]) -> list[Any]:
    """The answer, and what the page after it shows to whoever was sent on."""
    if method == "GET":
        return [client.get(address, sent)]
    first = client.post(f"{address}?{urlencode(sent, doseq=True)}", sent)
    return [first, *([client.get(first["Location"])] if first.status_code == 302 else [])]


def _text(answer: Any) -> str:
    """All that an answer says: its status, where it sends one on, its headers and its text."""
    body = b"".join(answer.streaming_content) if answer.streaming else answer.content
    kind = answer.headers.get("Content-Type", "")
    said = pdftotext(body) if kind == "application/pdf" else body.decode(errors="replace")
    heads = [
        f"{name}: {answer.headers[name]}"
        for name in ("Location", "Content-Disposition", "Content-Type", "ETag", "HX-Replace-Url")
        if name in answer.headers
    ]
    return "\n".join([str(answer.status_code), *heads, said])


def _without(text: str, sent: dict[str, Any]) -> str:
    """The text without what was asked, which a page may repeat, and without tokens of forms."""
    text = re.sub(r'name="csrfmiddlewaretoken" value="[^"]*"', "", text)
    values = [one for each in sent.values() for one in (each if isinstance(each, list) else [each])]
    for value in sorted({str(each) for each in values}, key=len, reverse=True):
        if not value.isdecimal() and len(value) > 1:
            for form in (html.escape(value), quote_plus(value), value):
                text = text.replace(form, "…")
    return text


def _differences(there: str, absent: str) -> list[str]:
    """The lines in which two answers differ, leaving numbers of records aside."""
    texts = [re.sub(r'([="“/-]|choice\. )\d+', r"\1…", text) for text in (there, absent)]
    lines = difflib.unified_diff(*(text.splitlines() for text in texts), lineterm="", n=0)
    return [line for line in lines if not line.startswith(("---", "+++", "@@"))]


def _code(answer: Any) -> str:
    if answer.status_code == 302 and answer["Location"].startswith("/sign-in/?next="):
        return "sign-in"
    return str(answer.status_code)


def _secrets_in(text: str) -> list[str]:
    amounts = {f"{PRICE}", f"{PRICE:,}"}
    marked = re.findall(rf".{{0,60}}{MARK}.{{0,60}}", text, re.IGNORECASE)
    return [*marked, *(amount for amount in amounts if amount in text)]


# ---- what stands in the database ----
def _rows_of_all() -> dict[type[models.Model], dict[Any, tuple[Any, ...]]]:
    found = {}
    for label in ("catalogue", "series", "valuation"):
        for model in apps.get_app_config(label).get_models(include_auto_created=True):
            if model.__name__ in {"Change", "ChangeCounter"}:
                continue
            rows = getattr(model, "everything", model._base_manager).order_by()
            found[model] = {row[0]: row for row in rows.values_list("pk", *_columns(model))}
    return found


def _columns(model: type[models.Model]) -> list[str]:
    return [field.attname for field in model._meta.concrete_fields]


@pytest.fixture(scope="module")
def stored(world: SecretWorld, django_db_blocker: Any) -> Any:
    with django_db_blocker.unblock():
        return _rows_of_all()


def _touched(world: SecretWorld, stored: Any, hidden: Any) -> list[str]:
    """What was changed of the other member's, and what now points at the hidden record."""
    touched = []
    own = set(stored_holdings(world, stored))
    for model, rows in _rows_of_all().items():
        before = stored[model]
        names = ["pk", *_columns(model)]
        for key in before.keys() | rows.keys():
            if before.get(key) == rows.get(key):
                continue
            row = dict(zip(names, rows.get(key) or before[key], strict=True))
            theirs = row.get("owner_id") == world.owner.pk or row.get("holding_id") in own
            points = hidden is not None and any(
                row.get(field.attname) == hidden.pk
                for field in model._meta.concrete_fields
                if field.related_model is type(hidden)
            )
            if (
                theirs
                or points
                or (hidden is not None and model is type(hidden) and key == hidden.pk)
            ):
                touched.append(f"{model.__name__} {row}")
    return touched


def stored_holdings(world: SecretWorld, stored: Any) -> list[int]:
    from catalogue.models import Holding

    names = ["pk", *_columns(Holding)]
    rows = [dict(zip(names, row, strict=True)) for row in stored[Holding].values()]
    return [row["pk"] for row in rows if row["owner_id"] == world.owner.pk]


HIDDEN_RECORDS = {
    "place": "place",
    "private": "private",
    "member": "barred",
    "aim": "aim",
    "deed": "deed",
    "source": "source",
    "notice": "notice",
    "stop": "stop",
    "number": "private",
    "stock": "stock",
    "which": "place",
    "found": "place",
    "asked": "place",
    "told": "private",
    "type": "proposed",
    "type-key": "proposed",
    "issue": "issue",
    "variety": "variety",
}


@pytest.mark.parametrize("cells", ROWS, ids=lambda cells: " ".join(cells[:3]))
def test_what_is_hidden_is_as_if_it_were_not_there(
    world: SecretWorld, cookies: dict[str, SimpleCookie], stored: Any, cells: list[str]
) -> None:
    method, row, parameter, kind, *expected = cells
    sample = SAMPLES[kind]
    beside = BESIDE.get(f"{row} {parameter}") or BESIDE.get(row) or (lambda world: {})
    got = []
    for viewer in VIEWERS:
        address = _address(world, row, viewer)
        texts = []
        for value in (sample.value(world), sample.absent):
            sent = beside(world) | {parameter: value}
            if parameter == "of":
                sent["of"] = [value, world.coinage.type.key]
            with transaction.atomic():
                answers = _ask(_browser(cookies, viewer), method, address, sent)
                texts.append(_without("\n".join(map(_text, answers)), sent))
                if len(texts) == 1:
                    got.append(_code(answers[0]))
                    if method == "POST" and viewer in sample.hidden:
                        hidden = getattr(world, HIDDEN_RECORDS[kind])
                        assert _touched(world, stored, hidden) == [], viewer
                transaction.set_rollback(True)
            if viewer not in sample.hidden:
                break
        if got[-1] != "sign-in" and (viewer in sample.hidden or viewer in {"visitor", "other"}):
            assert _secrets_in(texts[0]) == [], viewer
        if viewer in sample.hidden:
            assert _differences(*texts) == [], viewer
    assert " ".join(got) == " ".join(expected), " ".join(VIEWERS)


# ---- the table is whole ----
def _looked_up(
    world: SecretWorld, cookies: dict[str, SimpleCookie], monkeypatch: pytest.MonkeyPatch
) -> set[tuple[str, str, str]]:
    """Every name that a view asks of what an address or a form sends, by method and address."""
    found: set[tuple[str, str, str]] = set()
    here: list[str] = []

    def note(name: Any) -> None:
        if here:
            found.add((here[0], here[1], re.sub(r"\d+", "#", str(name))))

    def getitem(self: QueryDict, name: str) -> Any:
        note(name)
        return MultiValueDict.__getitem__(self, name)

    def getlist(self: QueryDict, name: str, default: Any = None) -> Any:
        note(name)
        return MultiValueDict.getlist(self, name, default)

    def contains(self: QueryDict, name: object) -> bool:
        note(name)
        return dict.__contains__(self, name)

    def setlistdefault(self: QueryDict, name: str, default: Any = None) -> Any:
        """As it is, but reading what was sent asks for nothing yet."""
        if not dict.__contains__(self, name):
            MultiValueDict.setlist(self, name, default or [])
        return MultiValueDict._getlist(self, name)  # type: ignore[attr-defined]

    monkeypatch.setattr("series.ladder.leaves.TYPES_ON_A_PAGE", 0)  # so that a ladder has leaves
    monkeypatch.setattr(QueryDict, "setlistdefault", setlistdefault)
    monkeypatch.setattr(QueryDict, "__getitem__", getitem, raising=False)
    monkeypatch.setattr(QueryDict, "getlist", getlist, raising=False)
    monkeypatch.setattr(QueryDict, "__contains__", contains, raising=False)
    for method, row, viewer, address, sent in _everything_asked(world):
        client = _browser(cookies, viewer)
        with transaction.atomic():
            here[:] = [method, row]
            if method == "GET":
                answer = client.get(address, sent)
            else:
                answer = client.post(f"{address}?{urlencode(sent, doseq=True)}", sent)
            if answer.streaming:
                b"".join(answer.streaming_content)
            here.clear()
            transaction.set_rollback(True)
    return found


def _everything_asked(world: SecretWorld) -> Iterator[tuple[str, str, str, str, dict[str, Any]]]:
    """Each address as whoever may ask it, plainly; then with each parameter of the table."""
    for method, row, *answers in ADDRESSES:
        base = row.split(":")[0]
        viewer = "owner" if answers[2] in {"200", "302"} else "administrator"
        fill = ARGUMENTS.get(row)
        address = reverse(base, kwargs=fill(world.world) if fill else None)
        sent = dict(SENT[row](world.world)) if row in SENT else {}
        if row in ASKED:
            sent |= QueryDict(ASKED[row](world.world)).dict()
        yield method, base, viewer, address, sent or ({"sent": "1"} if method == "POST" else {})
    for method, row, parameter, kind, *_answers in ROWS:
        beside = BESIDE.get(f"{row} {parameter}") or BESIDE.get(row) or (lambda world: {})
        sent = beside(world) | {parameter: SAMPLES[kind].value(world)}
        yield method, row, "owner", _address(world, row, "owner"), sent


def test_the_table_has_every_parameter_that_a_view_reads_and_no_other(
    world: SecretWorld, cookies: dict[str, SimpleCookie], monkeypatch: pytest.MonkeyPatch
) -> None:
    rows = {(cells[0], cells[1], cells[2]) for cells in ROWS}
    read = _looked_up(world, cookies, monkeypatch)
    plain = {each for each in read if each[2] in PLAIN["*"] | PLAIN[each[1]]}
    missing, gone = sorted(map(" ".join, read - rows - plain)), sorted(map(" ".join, rows - read))
    assert (missing, gone) == ([], []), (
        "\nwithout a row in parameter_table.txt:\n  "
        + "\n  ".join(missing or ["-"])
        + "\nin it, but read by no view:\n  "
        + "\n  ".join(gone or ["-"])
    )


_IN_SOURCE = re.compile(
    r'\.(?:GET|POST)(?:\.get(?:list)?\(|\[)\s*"(\w+)"'
    r'|"(\w+)" (?:not )?in request\.(?:GET|POST)'
    r'|\b(?:asked|sent|data)\.get(?:list)?\(\s*"(\w+)"'
)


def test_every_name_that_the_source_asks_a_request_for_stands_in_the_table() -> None:
    """Also where the walk takes another turn."""
    known = {cells[2] for cells in ROWS}.union(*PLAIN.values())
    found = {
        (str(path.relative_to(ROOT)), name)
        for app in ("catalogue", "series", "valuation")
        for path in (ROOT / app).rglob("*.py")
        for names in _IN_SOURCE.findall(path.read_text())
        for name in names
        if name
    }
    assert len({name for _path, name in found}) > 40
    assert sorted(each for each in found if each[1] not in known) == []


def _forms(kind: type[Any]) -> Iterator[type[Any]]:
    for each in kind.__subclasses__():
        yield each
        yield from _forms(each)


def test_every_field_that_chooses_a_record_stands_in_the_table() -> None:
    """Also where no view of the walk came to read it."""
    named = {cells[2] for cells in ROWS}
    chosen = {
        (each.__name__, name)
        for each in _forms(forms.BaseForm)
        if each.__module__.split(".")[0] in {"catalogue", "series", "valuation"}
        for name, field in getattr(each, "base_fields", {}).items()
        if isinstance(field, forms.ModelChoiceField)
    }
    assert chosen, "no form chooses a record: this test has lost its forms"
    assert sorted(each for each in chosen if each[1] not in named) == []


def test_the_table_is_plain_of_no_field_that_chooses_a_record() -> None:
    chosen = {
        name
        for each in _forms(forms.BaseForm)
        for name, field in getattr(each, "base_fields", {}).items()
        if isinstance(field, forms.ModelChoiceField)
        and each.__module__.split(".")[0] in {"catalogue", "series", "valuation"}
    }
    assert sorted(chosen & PLAIN["*"]) == []


def test_rows_of_parameters_are_whole_and_stand_once() -> None:
    assert [cells for cells in ROWS if len(cells) != 4 + len(VIEWERS)] == []
    keys = [tuple(cells[:3]) for cells in ROWS]
    assert sorted(key for key in set(keys) if keys.count(key) > 1) == []
