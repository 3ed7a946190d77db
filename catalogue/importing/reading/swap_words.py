"""Words for "may go to somebody else" where a list says it in its column of the status.

Computed: whether a cell says that a piece is for swapping. Source: common usage, no source.

>>> says_for_swap("For swap!"), says_for_swap("zum Tausch"), says_for_swap("swapped")
(True, True, False)
"""

from __future__ import annotations

from series.text.folding import fold

_WORDS = (
    "for swap|to swap|swap|for trade|to trade|for exchange|spare|surplus|duplicate|"
    "zum tausch|tausch|tauschbar|abzugeben|doppelt|dublette|"
    "à échanger|échange|double|doublon|para cambio|repetida|repetido|"
    "da scambiare|scambiabile|doppio|doppione|te ruil|ruilbaar|dubbel|"
    "till byte|dubblett|til bytte|dublet|dublett|na wymianę|do wymiany|para troca"
)
SWAP = frozenset(fold(each) for each in _WORDS.split("|"))


def says_for_swap(text: str) -> bool:
    return fold(text).strip(" .!") in SWAP
