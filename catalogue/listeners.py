"""What the catalogue hears: saved holdings and types are noted as changed.

Where many types changed, unidentified pieces are ranked again. A task that was broken off is given
back, and where one is given up, the sheet it drew or the list it read says so.
"""

from __future__ import annotations

from typing import Any

from django.db.models.signals import post_delete, post_save
from django_tasks.signals import task_finished

from catalogue.curation.holdings_of_doubles import follow
from catalogue.exports import archives
from catalogue.history.keeping import keep
from catalogue.holdings.actions import search_texts_anew
from catalogue.holdings.changes import note_everything, note_holdings, note_types
from catalogue.identifying.ranked_again import ask_to_rank_again
from catalogue.importing import tasks as importing
from catalogue.models import Holding, HoldingProblem, Photo, ProvenanceLine
from catalogue.printing.tasks import say_given_up, say_lost
from catalogue.signals import records_restored, task_given_up
from catalogue.working.beats import give_back_broken_off
from series.signals import pack_loaded, rows_changed, types_changed, types_joined


def connect() -> None:
    """Connect every listener; called once when the app is ready."""
    for signal in (post_save, post_delete):
        signal.connect(_holding_changed, sender=Holding, dispatch_uid="browse-holding")
        for model in (HoldingProblem, Photo, ProvenanceLine):
            signal.connect(_part_changed, sender=model, dispatch_uid=f"browse-{model.__name__}")
    types_changed.connect(_types_changed, dispatch_uid="browse-types")
    types_joined.connect(follow, dispatch_uid="holdings-follow")
    pack_loaded.connect(_pack_loaded, dispatch_uid="browse-pack")
    rows_changed.connect(keep, dispatch_uid="history")
    task_finished.connect(give_back_broken_off, dispatch_uid="tasks-broken-off")
    task_given_up.connect(say_given_up, dispatch_uid="sheets-given-up")
    records_restored.connect(say_lost, dispatch_uid="sheets-lost")
    task_given_up.connect(importing.say_given_up, dispatch_uid="lists-given-up")
    task_given_up.connect(archives.say_given_up, dispatch_uid="archives-given-up")


def _holding_changed(instance: Holding, raw: bool = False, **_: Any) -> None:
    if not raw and instance.pk:
        note_holdings([instance.pk])


def _part_changed(
    instance: HoldingProblem | Photo | ProvenanceLine, raw: bool = False, **_: Any
) -> None:
    if not raw:
        note_holdings([instance.holding_id])


def _types_changed(type_ids: list[int] | None = None, **_: Any) -> None:
    held = Holding.everything.all()
    search_texts_anew(held if type_ids is None else held.filter(coin_type__in=type_ids))
    if type_ids is None:
        note_everything()
        ask_to_rank_again()
    else:
        note_types(type_ids)


def _pack_loaded(**_: Any) -> None:
    note_everything()
    ask_to_rank_again()
