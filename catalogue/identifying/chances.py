"""How a probability is said: in words and in figures, together.

The words and their limits are those of the guidance note on uncertainties of the
Intergovernmental Panel on Climate Change (Mastrandrea and others, 2010; from memory), with
"hardly" for "exceptionally unlikely" and the two ends closed off by "almost certain".
"""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

LIMITS: tuple[tuple[float, Any], ...] = (
    (0.99, gettext_lazy("almost certain")),
    (0.90, gettext_lazy("very likely")),
    (0.66, gettext_lazy("likely")),
    (0.33, gettext_lazy("about as likely as not")),
    (0.10, gettext_lazy("unlikely")),
    (0.01, gettext_lazy("very unlikely")),
    (0.0, gettext_lazy("hardly")),
)
"""From this probability on, the word; down to the next."""


def _hundredths(chance: float) -> int:
    """A probability in whole hundredths, half up: words and figures both follow it."""
    return int(chance * 100 + 0.5)


def in_words(chance: float) -> str:
    """The word for a probability from 0 to 1, rounded to hundredths: "very likely"."""
    rounded = _hundredths(chance) / 100
    return str(next(words for least, words in LIMITS if rounded >= least))


def in_figures(chance: float) -> str:
    """In hundredths, never rounded to certainty: "93 %", "under 1 %", "over 99 %"."""
    rounded = _hundredths(chance)
    if rounded < 1:
        return _("under 1 %")
    if rounded > 99:
        return _("over 99 %")
    return f"{rounded}\u00a0%"


def said(chance: float) -> str:
    """Both: "very likely, 93 %"."""
    return f"{in_words(chance)}, {in_figures(chance)}"


def limits_in_words() -> list[tuple[str, str]]:
    """Each word with the least probability it is used from."""
    return [(str(words), f"{least * 100:.0f}\u00a0%") for least, words in LIMITS]
