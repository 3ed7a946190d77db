"""What the catalogue announces of holdings and tasks; others listen.

All are sent in the transaction that does it, so what a listener does is kept or lost with it.

``lot_split``: sent with ``holding`` and ``taken`` after pieces were taken out of a lot into a new
one; both hold the same kind of piece.
``lots_joining``: sent with ``kept`` and ``others`` (a list) before lots become one. A listener
refuses by raising ``catalogue.holdings.actions.HoldingError`` with a sentence for the page.
``pieces_valued``: sent with ``brought`` (a list) and ``worths``, pairs of a new holding and what
the list says one piece of it is worth, as (amount, currency). A listener answers with the ids of
what it made of it by label of model, so that the list can be taken back whole.
``task_given_up``: sent with ``task`` and ``arguments`` (a list) when the worker of a task ended in
the middle of it too often.
``records_restored``: sent after the rows of a backup were put back, brought up to this release and
worked out anew. Tasks are in no backup: what waited for one is to be begun anew or given up.
"""

from __future__ import annotations

from django.dispatch import Signal

lot_split = Signal()
lots_joining = Signal()
pieces_valued = Signal()
task_given_up = Signal()
records_restored = Signal()
