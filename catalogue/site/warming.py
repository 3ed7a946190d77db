"""What a server makes ready at its start, so that no visitor waits for it."""

from __future__ import annotations

import logging

from django.db import connection

from catalogue.holdings.finding.type_index import type_texts
from catalogue.holdings.search.index import store
from catalogue.identifying.tables import current_table

log = logging.getLogger(__name__)


def warm() -> None:
    """Map or make the texts of types, the columns of browsing and the table of ranking.

    For each process that serves pages, once, best in a thread of its own: the server answers
    meanwhile, and who asks for one of them waits for no more than what is left to do. With what is
    kept on disk that is less than a second. It never fails; its connection is closed.
    """
    for ready in (type_texts, store, current_table):  # what takes the most memory last
        try:
            ready()
        except Exception:
            log.exception("%s was not made ready", ready.__name__)
    if not connection.in_atomic_block:
        connection.close()
