"""When a double is joined to another type, its values go along."""

from __future__ import annotations

from typing import Any

from django.dispatch import receiver

from series.signals import types_joined
from valuation.estimates.models import Valuation


@receiver(types_joined)
def follow(gone: Any, kept: Any, issue_map: dict[int, int], **_more: Any) -> None:
    """Values of ``gone`` become values of ``kept``; those of its issues follow ``issue_map``."""
    Valuation.everything.filter(coin_type=gone).update(coin_type=kept)
    for old, new in issue_map.items():
        Valuation.everything.filter(issue=old).update(issue=new)
