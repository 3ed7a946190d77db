"""The wear model of ``series.legends.wear`` worked out plainly and slowly, one start at a time.

Every start, both directions, letters left out or put in wherever they may be; no index, no
bound, no numpy. The index is held against this. The forms of a legend, the chance of one letter
and the numbers of the model are the package's own; how they are put together is written here
again.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from functools import cache

from series.legends.letters import is_latin, letters, piece_letters, runs_leftward
from series.legends.spellings import (
    Spelling,
    StruckText,
    spellings_as_struck,
    spellings_for_latin,
)
from series.legends.wear import (
    BACKWARDS,
    BACKWARDS_LEFTWARD,
    SHARED,
    SHIFT,
    SURE_COUNT,
    UNRECORDED,
    chance,
    put_in_chance,
    slip,
)
from series.text.scripts import script_of

Types = Sequence[Sequence[StruckText]]


def read_from_start(piece: str, text: str, start: int) -> float:
    """The chance of reading a piece that begins at a letter of a closed text."""

    @cache
    def rest(at: int, place: int) -> float:
        """... of what follows, ``at`` letters read, ``place`` the next of the text."""
        if abs(place - start - at) > SHIFT:
            return 0.0
        if at == len(piece):
            return 1.0
        here, after = text[place % len(text)], text[(place + 1) % len(text)]
        slipped = slip(piece[at]) if at and len(piece) > SURE_COUNT else 0.0
        total = (1 - 2 * slipped) * chance(piece[at], here) * rest(at + 1, place + 1)
        if slipped:
            total += slipped * chance(piece[at], after) * rest(at + 1, place + 2)
            total += slipped * put_in_chance(piece[at]) * rest(at + 1, place)
        return total

    return rest(0, start)


def mean_over_starts(piece: str, text: str) -> float:
    return sum(read_from_start(piece, text, start) for start in range(len(text))) / len(text)


def _for_latin(piece: str) -> bool:
    return any(char.isalpha() for char in piece) and is_latin(piece)


def _forms(piece: str, legend: StruckText) -> tuple[Spelling, ...]:
    return spellings_for_latin(legend) if _for_latin(piece) else spellings_as_struck(legend)


def read_from_type(piece: str, legends: Sequence[StruckText]) -> float | None:
    """The chance of reading a piece off the recorded legends; None if there are none."""
    total = sum(len(letters(each.text)) for each in legends if _forms(piece, each))
    if not total:
        return None
    back = BACKWARDS_LEFTWARD if runs_leftward(piece) else BACKWARDS
    return sum(
        len(letters(legend.text))
        / total
        * form.share
        * (
            (1 - back) * mean_over_starts(piece, form.letters)
            + back * mean_over_starts(piece[::-1], form.letters)
        )
        for legend in legends
        for form in _forms(piece, legend)
    )


def drawn(piece: str, types: Types) -> float:
    """The chance of a piece as letters drawn by their frequency, a text counted once."""
    texts = {
        form.letters for legends in types for legend in legends for form in _forms(piece, legend)
    }
    everything = Counter("".join(texts))
    scripts = Counter(script_of(char) for char in piece if char.isalpha())
    script = scripts.most_common(1)[0][0] if scripts else ""
    counts = Counter({c: n for c, n in everything.items() if script_of(c) in (script, "")})
    total, kinds = counts.total(), len(counts) + 1
    share = (total + 1) / (everything.total() + 1) if scripts else 1.0
    return share * math.prod((counts[char] + 1) / (total + kinds) for char in piece if char != "?")


def plain_log_likelihoods(pieces: Sequence[str], types: Types) -> tuple[list[float], float]:
    """What ``LegendIndex.weigh`` gives: one number a type (nan: no legend), and elsewhere."""
    with_text = [any(letters(legend.text) for legend in legends) for legends in types]
    logs = [0.0 if some else math.nan for some in with_text]
    total_elsewhere = 0.0
    for piece in filter(None, map(piece_letters, pieces)):
        read = [read_from_type(piece, legends) for legends in types]
        known = [each for each in read if each is not None]
        mean = sum(known) / len(known) if known else 0.0
        elsewhere = SHARED * mean + (1 - SHARED) * drawn(piece, types)
        total_elsewhere += math.log(elsewhere)
        for number, each in enumerate(read):
            logs[number] += (
                math.nan
                if each is None
                else math.log((1 - UNRECORDED) * each + UNRECORDED * elsewhere)
            )
    return logs, total_elsewhere
