"""What the reference catalogue announces; upper apps listen.

``types_changed``: sent with ``type_ids`` (a list, or None for "many") after types, faces, marks
or issues were saved. ``pack_loaded``: sent with ``pack`` after a load that changed anything, in the
same transaction.
``types_joined``: sent with ``gone`` and ``kept`` before a double is joined to another type, and
with ``issue_map`` (id of each issue of ``gone`` to the id it becomes) and ``variety_map`` (of the
varieties that become another), so that holdings follow.
``rows_changed``: sent by a tracked model with ``changes``, a list of ``series.tracked.RowChange``,
in the transaction that makes them.
"""

from __future__ import annotations

from django.dispatch import Signal

types_changed = Signal()
pack_loaded = Signal()
types_joined = Signal()
rows_changed = Signal()
