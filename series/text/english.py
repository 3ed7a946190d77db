"""Small pieces of English: articles, lists, a shape in words, an alignment in words.

What is computed: texts, from names as a cataloguer writes them ("fishing net", "Queen Maren").

>>> the("net"), the("arms"), a("owl"), a("Queen Maren")
('the net', 'arms', 'an owl', 'Queen Maren')
>>> the("arms of Halvern"), a("arms of Halvern"), a("wreath of kelp")
('the arms of Halvern', 'arms of Halvern', 'a wreath of kelp')
>>> listed(["arms", "net", "gull"], the)
'arms, the net and the gull'
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence


def listed(names: Iterable[str], article: Callable[[str], str] = str, last: str = "and") -> str:
    """Names in a row with "and", or another word, before the last; "" for none."""
    said = [article(name) for name in names]
    return f" {last} ".join(filter(None, (", ".join(said[:-1]), *said[-1:])))


def some_of(names: Sequence[str], most: int) -> str:
    """The first names, and how many more there are.

    >>> some_of(["T.1", "T.2", "T.3", "T.4"], 2)
    'T.1, T.2 and 2 more'
    """
    said = ", ".join(names[:most])
    return f"{said} and {len(names) - most} more" if len(names) > most else said


def the(name: str) -> str:
    """The name with its definite article, where it takes one."""
    return name if _is_own_name(name) or (is_plural(name) and " " not in name) else f"the {name}"


def a(name: str) -> str:
    """The name with its indefinite article, where it takes one."""
    if _is_own_name(name) or is_plural(name):
        return name
    return f"an {name}" if name[:1] in "aeiou" else f"a {name}"


def _is_own_name(name: str) -> bool:
    return name[:1].isupper()


def is_plural(name: str) -> bool:
    """Whether the head word stands for several things: "arms" in "arms of Halvern"."""
    head = re.split(r" (?:of|on|in|with|and|over|under) |,", name)[0]
    return head.endswith("s") and not head.endswith(("ss", "us"))


_ONES = (
    "one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen "
    "sixteen seventeen eighteen nineteen twenty"
)
_TENS = "twenty thirty forty fifty sixty seventy eighty ninety"
NUMBERS = {word: number for number, word in enumerate(_ONES.split(), 1)} | {
    word: 10 * number for number, word in enumerate(_TENS.split(), 2)
}
"""Numbers of one word: 1 to 20, and the tens below a hundred."""
_WORD_OF = {number: word for word, number in NUMBERS.items()}


def number_word(number: int) -> str:
    """A number in a word up to twenty, above in figures.

    >>> number_word(7), number_word(30)
    ('seven', '30')
    """
    return _WORD_OF[number] if 0 < number <= 20 else str(number)


def outline_words(outline: str, sides: int) -> str:
    """An outline as an adjective.

    >>> outline_words("polygon", 12), outline_words("notched", 7), outline_words("round", 0)
    ('twelve-sided', 'round with seven indentations', 'round')
    """
    count = number_word(sides) if sides else "many"
    match outline:
        case "scalloped":
            return f"scalloped with {count} lobes" if sides else "scalloped"
        case "notched":
            return f"round with {count} indentations" if sides else "round with indentations"
        case "polygon":
            return f"{count}-sided"
        case "curved":
            return f"{count}-sided with curved sides"
        case "square":
            return "square with rounded corners"
    return outline


_ALIGNMENT = {12: "medal alignment", 6: "coin alignment"}


def alignment_words(hours: int) -> str:
    """Die axis in words.

    >>> alignment_words(6), alignment_words(3)
    ('coin alignment', "alignment at 3 o'clock")
    """
    return _ALIGNMENT.get(hours, f"alignment at {hours} o'clock")


_PREPOSITIONS = {
    "above", "at", "after", "before", "behind", "below", "beneath", "beside", "between", "by",
    "in", "inside", "left", "near", "on", "over", "right", "to", "under", "within",
}  # fmt: skip


def beside(what: str) -> str:
    """Where a mark stands, when the record names either a thing or a whole place.

    >>> beside("the date"), beside("below the net"), beside("")
    ('near the date', 'below the net', '')
    """
    if not what or what.split()[0].lower() in _PREPOSITIONS:
        return what
    return f"near {what}"
