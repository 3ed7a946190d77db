"""Which drafts of a talk would be drafted otherwise now, kept in memory until something changes.

To know it all that the talk is told from has to be told anew, which takes a while for a long talk;
it changes only with the talk itself, or with a record, each change of which has a number. Within a
transaction nothing is kept, since what it changed may yet be undone.
"""

from __future__ import annotations

from catalogue.holdings.changes import current_number, may_be_undone
from catalogue.models import Alteration, Talk
from catalogue.talks.drafting import told
from catalogue.talks.drafts import Redrafted
from catalogue.talks.met import Met, met

_TALKS = 100
Again = dict[int, list[Redrafted]]
_kept: dict[int, tuple[str, Again]] = {}


def redrafted(talk: Talk, stops: list[Met]) -> Again:
    """The drafts that would be drafted otherwise now, by the number of their stop."""
    if may_be_undone():
        return _work_out(talk)
    of_stops = [(each.stop.pk, each.stop.position, each.stop.row_version) for each in stops]
    last = Alteration.objects.order_by("-pk").values_list("pk", flat=True).first()
    said = repr((talk.row_version, of_stops, current_number(), last))
    kept = _kept.get(talk.pk)
    if kept is None or kept[0] != said:
        if len(_kept) >= _TALKS:
            _kept.clear()
        kept = _kept[talk.pk] = (said, _work_out(talk))
    return kept[1]


def _work_out(talk: Talk) -> Again:
    stops = met(talk)
    if not any(one.stop.drafted for one in stops):
        return {}
    now = told(talk, stops)
    found = {one.number: now.changed(one.number) for one in stops if one.stop.drafted}
    return {number: changes for number, changes in found.items() if changes}
