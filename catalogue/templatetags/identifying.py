"""Candidates drawn beside what was measured, and marks told apart by shape:
``{% load identifying %}``."""

from __future__ import annotations

import re

from django import template
from django.utils.html import escape, format_html_join
from django.utils.safestring import SafeString, mark_safe

from catalogue.identifying import chances
from catalogue.identifying.evidence_of import LABELS
from catalogue.identifying.shown_answer import CandidateRow
from series.models import CoinType
from series.picture.coins import MARGIN, coin
from series.text.words import number

register = template.Library()
register.filter("plain_number", number)

_TURNED = re.compile(
    "(?P<figures>[?]?[\u0660-\u0669\u06f0-\u06f9][\u0660-\u0669\u06f0-\u06f9?]*)"
    "|[\u0590-\u065f\u066e-\u06ef\u06fa-\u08ff]+"
)
"""Arabic or Persian figures, some of them unread, or letters written from right to left."""

_MEASURE = re.compile(r"(?<=\d) (?=(?:mm|g|g/cm³)(?![\w/]))|(?<=±) (?=\d)")
"""The spaces within a measure."""

_MARKS = {
    "for": '<circle cx="8" cy="8" r="7"/><path class="sign" d="M4.5 8.3l2.4 2.4 4.6-5"/>',
    "against": (
        '<path d="M8 .6 15.4 8 8 15.4.6 8z"/>'
        '<path class="sign" d="M5.8 5.8l4.4 4.4m0-4.4-4.4 4.4"/>'
    ),
    "neither": '<circle class="open" cx="8" cy="8" r="6.5"/>',
}


@register.simple_tag
def verdict_mark(verdict: str) -> SafeString:
    """A disc with a tick, a diamond with a cross, or an open dashed ring; words stand beside."""
    return mark_safe(
        f'<svg class="verdict {verdict}" width="16" height="16" viewBox="0 0 16 16" '
        f'aria-hidden="true" focusable="false">{_MARKS[verdict]}</svg>'
    )


@register.simple_tag
def candidate_coin(
    coin_type: CoinType, scale: float, measured: float | None = None, room: float = 0
) -> SafeString:
    """A type drawn in ``room`` mm of width, with the measured circle dashed round its centre."""
    drawn = coin(coin_type, scale=scale, wide=room, high=room)
    if not measured:
        return drawn
    return mark_safe(f"{drawn.removesuffix('</svg>')}{_dashed(measured, scale)}</svg>")


@register.simple_tag
def issue_options(row: CandidateRow) -> SafeString:
    """The issues a candidate may be as options, each with its chance where they differ.

    A page holds hundreds, so they are written here and not in the template.
    """
    likely = row.likely_issue
    return format_html_join(
        "",
        '<option value="{}"{}>{}{}</option>',
        (
            (
                issue.issue_id,
                _SELECTED if issue.issue_id == likely else "",
                issue.label,
                f" · {chance}" if chance else "",
            )
            for issue, chance in row.issues
        ),
    )


_SELECTED = SafeString(" selected")


@register.simple_tag
def measured_circle(measured: float, scale: float, room: float = 0) -> SafeString:
    """The measured circle alone, in the same room."""
    side = max(measured, room) * scale * (1 + 2 * MARGIN)
    return mark_safe(
        f'<svg class="coin-svg" width="{number(side)}" height="{number(side)}" '
        f'viewBox="{number(-side / 2)} {number(-side / 2)} {number(side)} {number(side)}" '
        f'aria-hidden="true" focusable="false">{_dashed(measured, scale)}</svg>'
    )


def _dashed(measured: float, scale: float) -> str:
    radius = number(measured * scale / 2)
    return f'<circle class="under" r="{radius}"/><circle class="measured" r="{radius}"/>'


@register.filter
def isolated(words: str) -> SafeString:
    """A sentence in which texts of other directions stay in their place.

    Figures with unread ones among them keep the order in which they stand on the coin, and a
    measure stays on one line with its unit.
    """
    said = re.sub(r"“([^”]*)”", r"“<bdi>\1</bdi>”", escape(words))
    said = _MEASURE.sub("\u00a0", said)
    return mark_safe(_TURNED.sub(_apart, said))


def _apart(found: re.Match[str]) -> str:
    if found["figures"]:
        return f'<bdo dir="ltr">{found[0]}</bdo>'
    return f"<bdi>{found[0]}</bdi>"


@register.filter
def chance_words(chance: float) -> str:
    """ "very likely"."""
    return chances.in_words(chance)


@register.filter
def chance_figures(chance: float) -> str:
    """ "93 %"."""
    return chances.in_figures(chance)


@register.filter
def kind_name(kind: str) -> str:
    """What a kind of evidence is called: "Value" for "denomination"."""
    return str(LABELS.get(kind, kind)).capitalize()
