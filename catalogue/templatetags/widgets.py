"""Parts of form fields that a page has by the hundred: ``{% load widgets %}``."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from django import template
from django.forms.utils import flatatt
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

register = template.Library()


@register.simple_tag
def options(groups: Iterable[tuple[str | None, Iterable[Mapping[str, Any]], int]]) -> SafeString:
    """The options of a select, in groups where they have names, as Django's widget says them."""
    return SafeString("\n".join(_group(name, choices) for name, choices, _number in groups))


def _group(name: str | None, choices: Iterable[Mapping[str, Any]]) -> SafeString:
    options = _options(choices)
    return format_html('<optgroup label="{}">{}</optgroup>', name, options) if name else options


def _options(choices: Iterable[Mapping[str, Any]]) -> SafeString:
    return format_html_join(
        "\n",
        '<option value="{}"{}>{}</option>',
        ((str(each["value"]), flatatt(each["attrs"]), each["label"]) for each in choices),
    )
