"""Parts that many pages have; every template knows them without loading.

``{% trail %}`` is the way to a page, ``{% fact %}`` a line of a list of facts, ``{% unchecked %}``
what is said beside one that rests on memory, ``{% unchecked_of %}`` beside one of a face,
``{% post_button %}`` a button that sends and ``{% listed %}`` words with commas between. Longer
HTML of theirs stands in ``templates/partials``.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from django import template
from django.urls import reverse
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString
from django.utils.translation import gettext_lazy as _

register = template.Library()
PAGES = {
    "account": _("Your account"),
    "archives": _("Bring an archive back"),
    "changes": _("Recent changes"),
    "club": _("Club"),
    "countries": _("Countries"),
    "curation": _("Proposals"),
    "holdings": _("Holdings"),
    "identify": _("What is this?"),
    "imports": _("Bring a list"),
    "places": _("Places"),
    "price-sources": _("Sources"),
    "saved-searches": _("Saved searches"),
    "schedules": _("Schedules"),
    "sheets": _("Sheets"),
    "showings": _("Pages for others"),
    "talks": _("Talks"),
    "wants": _("Wants"),
    "worth": _("Worth"),
}


@register.inclusion_tag("partials/trail.html")
def trail(*steps: Any, at: str = "", called: object = "", here: object = "") -> dict[str, object]:
    """The way to a page: names of :data:`PAGES` and records, of which those that are not there
    are left out; then the address ``at``, ``called`` so; then ``here``, the page itself."""
    links = [*_links(steps), *([(at, called)] if at else [])]
    return {"links": links, "here": here}


def _links(steps: tuple[Any, ...]) -> Iterator[tuple[str, Any]]:
    for step in filter(None, steps):
        if isinstance(step, str):
            yield reverse(step), PAGES[step]
        else:
            yield step.get_absolute_url(), step


@register.simple_tag
def fact(label: str, value: object) -> SafeString:
    """A line of a list of facts, or nothing where nothing is recorded."""
    if value is None or value == "":
        return SafeString("")
    return format_html("<dt>{}</dt><dd>{}</dd>", label, value)


@register.simple_tag(takes_context=True)
def unchecked(context: Mapping[str, Any], *names: str) -> SafeString:
    """Said beside a fact of a record that nobody looked up; ``unchecked`` names such facts."""
    if not set(names) & set(context.get("unchecked", ())):
        return SafeString("")
    return format_html(' <span class="small unchecked">{}</span>', _("from memory, unchecked"))


@register.simple_tag(takes_context=True)
def unchecked_of(context: Mapping[str, Any], face: Any, name: str) -> SafeString:
    """The same beside a fact of one face."""
    return unchecked(context, name, f"{face.side}.{name}")


@register.simple_tag
def listed(*words: object, before: str = "") -> SafeString:
    """Those of the words that are there, with commas; ``before`` them what leads to them."""
    said = format_html_join(", ", "{}", ((word,) for word in words if word not in (None, "")))
    return format_html("{}{}", before, said) if said else said


@register.inclusion_tag("partials/post_button.html")
def post_button(name: str, *parts: Any, words: str, css: str = "plain") -> dict[str, object]:
    """A form of one button: the ``name`` and ``parts`` of the address it is sent to."""
    return {"address": reverse(name, args=parts), "words": words, "css": css}
