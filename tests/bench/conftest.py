"""Benches import each other as neighbours; their tests do too."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest


@pytest.fixture(scope="session")
def bench_path() -> Iterator[None]:
    here = str(Path(__file__).parent)
    sys.path.insert(0, here)
    yield
    sys.path.remove(here)
