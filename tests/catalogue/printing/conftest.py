"""Reading a sheet back: its pages as text with the place of each word, in mm."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest

from tests.poppler import pdftotext

MM = 25.4 / 72


@dataclass(frozen=True)
class Word:
    """A word on a page, its top left corner in mm from that of the page."""

    text: str
    x: float
    y: float


@dataclass(frozen=True)
class Read:
    """The words of each page of a PDF."""

    pages: list[list[Word]]

    def text(self, page: int) -> str:
        return " ".join(word.text for word in self.pages[page])

    @property
    def all(self) -> str:
        return " ".join(self.text(page) for page in range(len(self.pages)))

    def places(self, text: str, page: int = 0) -> list[tuple[float, float]]:
        return [(word.x, word.y) for word in self.pages[page] if word.text == text]


@pytest.fixture
def read() -> Callable[[Any], Read]:
    """Words of a PDF (bytes, or an answer that holds one), read by pdftotext of poppler."""

    def of(pdf: Any) -> Read:
        data = pdf if isinstance(pdf, bytes) else pdf.content
        assert data.startswith(b"%PDF"), data[:200]
        pages = []
        for page in pdftotext(data, "-bbox").split("<page ")[1:]:
            words = re.findall(r'<word xMin="([\d.-]+)" yMin="([\d.-]+)"[^>]*>(.*?)</word>', page)
            pages.append([Word(text, float(x) * MM, float(y) * MM) for x, y, text in words])
        return Read(pages)

    return of
