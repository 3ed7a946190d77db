"""Invisible signs that turn the direction of whatever is written after them.

Computed: the text without the embeddings, overrides and isolates of the Unicode bidirectional
algorithm (Unicode Standard Annex 9, explicit formatting characters). In a name they make what
stands beside it read backwards, or a file look like another kind. The marks that only tell a
letter's own direction (U+200E, U+200F, U+061C) stay: legends need them.

>>> without_turns("gull\\u202efdp.exe"), without_turns("لا\\u200f")
('gullfdp.exe', 'لا\\u200f')
"""

from __future__ import annotations

_TURNS = dict.fromkeys([*range(0x202A, 0x202F), *range(0x2066, 0x206A)])


def without_turns(text: str) -> str:
    return text.translate(_TURNS)
