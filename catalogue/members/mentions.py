"""Where the records of a site still name a member: for the keeper of the machine alone.

Everything that would be left is searched, the private texts of other members too; so this is never
shown on a page (see :mod:`catalogue.members.remains`).
"""

from __future__ import annotations

import json
from collections.abc import Iterator

from django.apps import apps
from django.db import transaction
from django.db.models import CharField, F, JSONField, Model, Q, TextField
from django.db.models.functions import Cast

from catalogue.members.erase import erase_rows
from catalogue.members.models import Member

SHORTEST = 3  # letters; a shorter name is found in everything


def mentions_left(member: Member) -> list[tuple[str, int]]:
    """("provenance line: who, how", in how many records) once they are erased; changes nothing."""
    words = {member.username, member.name, member.email}
    with transaction.atomic():
        erase_rows(Member.objects.get(pk=member.pk))
        found = list(_found({word for word in words if len(word) >= SHORTEST}))
        transaction.set_rollback(True)
    return found


def _found(words: set[str]) -> Iterator[tuple[str, int]]:
    for model in apps.get_models() if words else ():
        for field in model._meta.concrete_fields:
            if field.choices or not isinstance(field, (CharField, TextField, JSONField)):
                continue
            count = _records_with(model, field.name, words)
            if count:
                yield f"{model._meta.verbose_name}: {field.verbose_name}", count


def _records_with(model: type[Model], column: str, words: set[str]) -> int:
    named = Q()
    for word in words:
        named |= Q(as_text__icontains=word)
        named |= Q(as_text__icontains=json.dumps(word)[1:-1])
    rows = model._base_manager.annotate(as_text=Cast(F(column), TextField()))
    return rows.filter(named).count()
