"""What the viewer holds, for the pages of the reference catalogue: ``{% load holding_marks %}``.

``{% holdings_of types user as held %}`` once on a page, for all its types; then
``{{ held|of_type:t }}``, ``{{ held|of_issue:i }}``, ``{% date_boxes t held %}``.
"""

from __future__ import annotations

from collections.abc import Iterable

from django import template
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from catalogue import access
from catalogue.holdings.dates import boxes
from catalogue.holdings.held import (
    Held,
    HeldOfCountry,
    HeldOnPage,
    held_by_country,
    held_of_types,
)
from catalogue.members.requests import Viewer
from series.models import CoinType, Issue

register = template.Library()


@register.simple_tag
def holdings_of(types: Iterable[CoinType], user: Viewer) -> HeldOnPage:
    """What the user holds of these types: one query, however many they are."""
    return held_of_types(user, types)


@register.simple_tag
def holdings_by_country(user: Viewer) -> dict[int, HeldOfCountry]:
    return held_by_country(user)


@register.filter
def of_country(held: dict[int, HeldOfCountry], issuer_id: int) -> HeldOfCountry | None:
    return held.get(issuer_id)


@register.filter
def of_type(held: HeldOnPage, coin_type: CoinType) -> Held | None:
    return held.types.get(coin_type.pk)


@register.filter
def of_issue(held: HeldOnPage, issue: Issue) -> Held | None:
    return held.issues.get(issue.pk)


@register.filter
def lacks(held: HeldOnPage, coin_type: CoinType) -> bool:
    """Whether the viewer holds some coins of this page, but none of this type."""
    return bool(held.types) and coin_type.pk not in held.types


@register.simple_tag
def date_boxes(coin_type: CoinType, held: HeldOnPage, per_row: int = boxes.PER_ROW) -> SafeString:
    """The date run of a type (issues prefetched) as small boxes, filled where held."""
    found = boxes.date_boxes(
        (issue.shown or str(issue.struck_from or ""), issue.fact, issue.pk in held.issues)
        for issue in coin_type.issues.all()
    )
    if not found:
        return mark_safe("")
    held_count, struck = boxes.tally(found)
    label = _("%(held)d of %(struck)d dates held") % {"held": held_count, "struck": struck}
    return mark_safe(boxes.drawn(found, label, per_row))  # numbers and escaped texts


@register.simple_tag
def may_curate(user: Viewer) -> bool:
    return access.may_curate(user)


@register.simple_tag
def may_edit_type(user: Viewer, coin_type: CoinType) -> bool:
    return access.may_edit_type(user, coin_type)
