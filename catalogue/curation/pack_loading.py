"""Packs that come with the site, loaded by a task; what went wrong is kept for the page."""

from __future__ import annotations

from collections.abc import Iterable

from django.db import transaction
from django_tasks import task

from catalogue.models import SiteFact
from catalogue.working.beats import in_hand
from series.packs.load import load_pack
from series.packs.reading import PackErrors
from series.packs.shipped import Shipped, in_order, shipped_packs

WRONG = "pack-not-loaded-"


@task()
def load_shipped(key: str) -> None:
    """Load a pack, and before it whatever it needs; loading it twice changes nothing."""
    SiteFact.objects.filter(key=WRONG + key).delete()
    try:
        for each in in_order([key], shipped_packs()):
            load_pack(each.folder)
    except PackErrors as errors:
        SiteFact.objects.update_or_create(key=WRONG + key, defaults={"value": str(errors)})


def ask_to_load(keys: Iterable[str]) -> int:
    """Ask for packs that nobody has asked for yet; how many."""
    asked = 0
    with transaction.atomic():
        for each in in_order(keys, shipped_packs()):
            if not in_hand(load_shipped, each.key):
                load_shipped.enqueue(each.key)
                asked += 1
    return asked


def states(packs: Iterable[Shipped]) -> list[tuple[Shipped, str, str]]:
    """Each pack with how it stands ("", "waiting", "loaded", "newer") and what went wrong."""
    wrong = dict(SiteFact.objects.filter(key__startswith=WRONG).values_list("key", "value"))
    return [(each, _state(each), wrong.get(WRONG + each.key, "")) for each in packs]


def _state(pack: Shipped) -> str:
    if in_hand(load_shipped, pack.key):
        return "waiting"
    if pack.loaded is None:
        return ""
    return "loaded" if pack.loaded == pack.version else "newer"
