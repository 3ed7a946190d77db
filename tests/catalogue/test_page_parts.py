"""Parts of pages that every template knows: the way to a page, a fact, words, a button."""

from __future__ import annotations

from typing import Any

import pytest
from django.template import Context, Template

from tests.conftest import Coinage
from tests.markup import markup


def said(source: str, **names: Any) -> str:
    return markup(Template(source).render(Context(names)))


@pytest.mark.django_db
def test_a_trail_leads_by_pages_and_records_to_the_page_itself(coinage: Coinage) -> None:
    way = said('{% trail "countries" series here=here %}', series=coinage.series, here="<i>")
    assert '<li><a href="/countries/">Countries</a></li>' in way
    assert f'<a href="{coinage.series.get_absolute_url()}">{coinage.series}</a>' in way
    assert '<li aria-current="page">&lt;i&gt;</li>' in way


def test_a_trail_leaves_out_what_is_not_there_and_takes_an_address_as_it_is() -> None:
    way = said('{% trail none.series at=back called="Holdings" %}', none=None, back="/h/?a=1&b=2")
    assert way.count("<li>") == 1
    assert '<a href="/h/?a=1&amp;b=2">Holdings</a>' in way


@pytest.mark.parametrize(
    ("value", "line"),
    [
        ("", ""),
        (None, ""),
        (0, "<dt>Edge</dt><dd>0</dd>"),
        ("<b>", "<dt>Edge</dt><dd>&lt;b&gt;</dd>"),
    ],
)
def test_a_fact_is_a_line_where_something_is_recorded(value: object, line: str) -> None:
    assert said('{% fact "Edge" value %}', value=value) == line


def test_words_are_listed_with_commas_and_what_leads_to_them() -> None:
    source = '{% listed one none two before=": " as words %}name{{ words }}'
    assert said(source, one="a & b", none=None, two="c") == "name: a &amp; b, c"
    assert said(source, one="", none=None, two="") == "name"


def test_a_button_sends_to_an_address_with_its_parts() -> None:
    form = said('{% post_button "holding-bin" 7 words="Away" css="danger" %}')
    assert form.startswith('<form method="post" action="/holdings/7/bin/">')
    assert form.endswith('<button class="danger">Away</button></form>')
