"""The member who has something of everything, as for erasing."""

from __future__ import annotations

from tests.catalogue.members.conftest import full_collection

__all__ = ["full_collection"]
