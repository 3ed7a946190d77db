"""What is said of the mistakes of a pack."""

from __future__ import annotations

from series.packs.checks import Known
from series.packs.format import read_pack
from series.packs.reading import PackErrors


def mistakes(texts: dict[str, str], known: Known | None = None) -> list[str]:
    try:
        read_pack(texts, known)
    except PackErrors as errors:
        return [str(problem) for problem in errors.problems]
    return []
