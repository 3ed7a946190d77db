"""A browser in which a curator is signed in."""

from __future__ import annotations

import pytest
from django.test import Client

from catalogue.models import Member


@pytest.fixture
def as_curator(curator: Member) -> Client:
    client = Client()
    client.force_login(curator, backend="django.contrib.auth.backends.ModelBackend")
    return client
