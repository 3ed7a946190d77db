"""Parts of form fields that a page has by the hundred: ``{% load widgets %}``."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from django import template
from django.forms.utils import flatatt
from django.utils.html import format_html_join
from django.utils.safestring import SafeString

register = template.Library()


@register.simple_tag
def options(choices: Iterable[Mapping[str, Any]]) -> SafeString:
    """The options of a select, from what Django's widget says of each."""
    return format_html_join(
        "\n",
        '<option value="{}"{}>{}</option>',
        ((str(each["value"]), flatatt(each["attrs"]), each["label"]) for each in choices),
    )
