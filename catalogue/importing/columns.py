"""What the columns of a list are, from their headings and from what they hold."""

from __future__ import annotations

from catalogue.importing.lists import Proposal, Table


def propose(table: Table) -> Proposal:
    """What each column of a table seems to hold, and where its rows begin."""
    raise NotImplementedError
