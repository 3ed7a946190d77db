"""How a coin of the old money stands to one of the new, by name and by legal amount.

What is computed: a few words, from two denominations and the rate of the law. Values are in main
units of each money, exact; the rate is how many old units made one new one.

>>> kinship("25 tinne", "25 tinne", Fraction(1, 4), Fraction(1, 4), Fraction(10))
'of the same name, by law a tenth of its amount'
>>> kinship("1 marl", "10 tinne", Fraction(1), Fraction(1, 10), Fraction(10))
'of the same amount by law, under another name'
>>> kinship("2 pence", "2 pence", Fraction(1, 120), Fraction(2, 100), Fraction(1))
'of the same name, by law five twelfths of its amount'
>>> kinship("1 marl", "25 tinne", Fraction(1), Fraction(1, 4), Fraction(10))
''
"""

from __future__ import annotations

from fractions import Fraction

from series.text.english import number_word
from series.text.folding import fold

_PARTS = {
    2: "half", 3: "third", 4: "quarter", 5: "fifth", 6: "sixth", 7: "seventh", 8: "eighth",
    9: "ninth", 10: "tenth", 12: "twelfth", 20: "twentieth", 100: "hundredth", 1000: "thousandth",
}  # fmt: skip


def read_rate(text: str) -> Fraction | None:
    """The rate as it is recorded, "10", "1/2" or "23.6425"; None where there is none."""
    try:
        rate = Fraction(text)
    except (ValueError, ZeroDivisionError):
        return None
    return rate if rate > 0 else None


def kinship(
    old_name: str, new_name: str, old: Fraction, new: Fraction, rate: Fraction | None
) -> str:
    """What the old coin is to the new one; "" where they have neither name nor amount in common.

    Without a rate nothing is said of amounts.
    """
    same_name = fold(old_name) == fold(new_name)
    if rate is None:
        return "of the same name" if same_name else ""
    share = old / rate / new
    if share == 1 and same_name:
        return "of the same name and amount by law"
    if share == 1:
        return "of the same amount by law, under another name"
    if not same_name:
        return ""
    said = _times(share)
    return f"of the same name, by law {said}" if said else "of the same name, by law another amount"


def _times(share: Fraction) -> str:
    """A share in words: "a tenth of its amount", "ten times its amount"; "" for a crooked one."""
    if share.denominator == 1:
        return f"{_count(share.numerator)} times its amount"
    part = _PARTS.get(share.denominator)
    if part is None or share.numerator > 20:
        return ""
    if share.numerator == 1:
        return f"{'' if part == 'half' else 'a '}{part}{'' if part == 'half' else ' of'} its amount"
    return f"{number_word(share.numerator)} {'halve' if part == 'half' else part}s of its amount"


def _count(number: int) -> str:
    return {100: "a hundred", 1000: "a thousand"}.get(number) or number_word(number)
