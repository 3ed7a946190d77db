"""Template tags for values, which the pages of lower floors may use too."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import template

from catalogue import access
from series.models import CoinType
from valuation.estimates.queries import as_value, values_of_type
from valuation.estimates.words import (
    amount_in_words,
    basis_in_words,
    day_in_words,
    value_in_words,
)
from valuation.money import figures, written

register = template.Library()


@register.filter
def money(amount: Decimal | None, currency: str) -> str:
    """An amount with its currency; a dash where nothing is known."""
    return "—" if amount is None else written(amount, currency)


@register.filter(name="figures")
def in_figures(amount: Decimal | str | None) -> str:
    """Figures with thousands apart; a frozen amount may be a text; a dash for nothing."""
    return "—" if amount is None or amount == "" else figures(Decimal(amount))


register.filter("day", day_in_words)
register.filter("value_in_words", value_in_words)
register.filter("amount_in_words", amount_in_words)
register.filter("basis_in_words", basis_in_words)
register.filter("as_value", as_value)


@register.inclusion_tag("valuation/values.html", takes_context=True)
def values_of(context: template.Context, coin_type: CoinType) -> dict[str, Any]:
    """The values of a type and of its issues that the viewer may see: {% values_of type %}."""
    viewer = context["request"].user
    rows = [
        (value, as_value(value), access.may_edit_entry(viewer, value.entered_by_id))
        for value in values_of_type(coin_type, viewer)
    ]
    newest: dict[tuple[int | None, str, str], Any] = {}
    for row in rows:
        newest.setdefault((row[0].issue_id, row[0].grade_scale, row[0].grade), row)
    shown = list(newest.values())
    return {
        "coin_type": coin_type,
        "newest": shown,
        "earlier": [row for row in rows if row not in shown],
        "may_add": access.is_member(viewer),
    }
