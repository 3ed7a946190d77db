"""Which of many texts contain a given run of letters.

Computed: for a word without spaces, the texts it occurs in as a substring, as one truth value a
text. Because such a word cannot reach across a space, it occurs in a text exactly when it occurs
in one of the text's words. So only the list of distinct words is scanned (about a megabyte of
UTF-8 for a club of 100,000 holdings), and each word leads to the texts that have it.

Units: none; texts are numbered from 0. Source: the inverted index of the textbooks on
information retrieval (from memory); words are split as ``str.split`` splits them.

A haystack never changes. ``patched`` gives a new one in which some texts are new or different,
kept aside as plain strings; ``settled`` gives a new one with those strings worked into the index.

>>> stack = Haystack.of(["two gulls over a net", "a net", ""])
>>> stack.having("et").tolist()
[True, True, False]
>>> stack.patched({2: "lighthouse", 3: "netting"}, 4).having("net").tolist()
[True, True, False, True]
"""

from __future__ import annotations

from array import array
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from catalogue.holdings.search.tally import Integers, Truths
from series.arrays import Arrays

_INDEX = ("letters", "starts", "firsts", "texts")
_BREAK = 10  # a line feed after each word: no word holds one


def _one_word(word: str) -> str:
    if word.split() != [word]:
        raise ValueError(f"Search for one word at a time, without spaces; got {word!r}.")
    return word


def _none() -> NDArray[np.int32]:
    return np.zeros(0, dtype=np.int32)


class Words:
    """Texts on their way into an index: only the numbers of their words are held.

    >>> words = Words()
    >>> words.add(1, "a net")
    >>> words.stacked(2).having("et").tolist()
    [False, True]
    """

    def __init__(self, known: Iterable[str] = ()) -> None:
        self._numbers: defaultdict[str, int] = defaultdict()
        self._numbers.update({word: number for number, word in enumerate(known)})
        # A word not seen before gets the next number.
        self._numbers.default_factory = self._numbers.__len__
        self._pairs = array("q")

    def add(self, number: int, text: str) -> None:
        """A text by its number."""
        numbers = self._numbers
        self._pairs.extend([numbers[word] << 32 | number for word in text.split()])

    def stacked(self, size: int, more: NDArray[np.int64] | None = None) -> Haystack:
        """The index of these texts, and of ``more`` pairs of known words and texts.

        A pair is one number, the word's above the lower 32 bits and the text's in them.
        """
        vocabulary, pairs = list(self._numbers), np.frombuffer(self._pairs, dtype=np.int64)
        if more is not None:
            pairs = np.concatenate([pairs, more])
        pairs.sort()
        first = np.ones(len(pairs), dtype=np.bool_)
        np.not_equal(pairs[1:], pairs[:-1], out=first[1:])
        if not first.all():
            pairs = pairs.compress(first)
        uses = np.diff(np.searchsorted(pairs, np.arange(len(vocabulary) + 1) << 32))
        used = np.flatnonzero(uses)
        joined = "".join(f"{vocabulary[word]}\n" for word in used.tolist())
        letters = np.frombuffer(joined.encode("utf-8", "surrogatepass"), dtype=np.uint8)
        ends = np.flatnonzero(letters == _BREAK) + 1
        return Haystack(
            size,
            letters,
            np.concatenate([[0], ends]).astype(np.int32)[:-1],
            np.concatenate([[0], np.cumsum(uses[used])]).astype(np.int32),
            pairs.astype(np.int32),  # the lower 32 bits
        )


@dataclass(frozen=True, slots=True)
class Haystack:
    """Numbered texts, searched by parts of words; see the module's docstring."""

    size: int = 0  # texts, numbered 0 to size - 1
    letters: NDArray[np.uint8] = field(default_factory=lambda: np.zeros(0, dtype=np.uint8))
    starts: Integers = field(default_factory=_none)  # of each word, in letters
    firsts: Integers = field(default_factory=lambda: np.zeros(1, dtype=np.int32))
    texts: Integers = field(default_factory=_none)  # numbers of texts, word after word
    patch: Mapping[int, str] = field(default_factory=dict)  # texts not yet in the index

    @classmethod
    def of(cls, texts: Iterable[str]) -> Haystack:
        """The haystack of these texts, numbered in their order; each is let go of at once."""
        words, size = Words(), 0
        for text in texts:
            words.add(size, text)
            size += 1
        return words.stacked(size)

    def patched(self, texts: Mapping[int, str], size: int) -> Haystack:
        """The same with these texts put in place of what had their numbers; ``size`` texts in all.

        Numbers neither here before nor in ``texts`` stand for empty texts.
        """
        patch = {**self.patch, **texts}
        return Haystack(size, self.letters, self.starts, self.firsts, self.texts, patch)

    def having(self, word: str) -> Truths:
        """For each text, whether ``word`` occurs in it.

        Raises ValueError if the word is empty or holds a space of any kind.
        """
        return self._in_texts(self._words_having(_one_word(word)), lambda text: word in text)

    def beginning(self, word: str, *, whole: bool = False) -> Truths:
        """For each text, whether a word of it begins with ``word``, or is it (``whole``).

        Refuses what ``having`` does.

        >>> stack = Haystack.of(["a lighthouse", "daylight", "light"])
        >>> stack.beginning("light").tolist(), stack.beginning("light", whole=True).tolist()
        ([True, False, True], [False, False, True])
        """
        words = self._words_beginning(_one_word(word))
        if whole:
            ends = self.letters.take(
                self.starts.take(words) + len(word.encode("utf-8", "surrogatepass"))
            )
            words = words.compress(ends == _BREAK)
            return self._in_texts(words, lambda text: word in text.split())
        return self._in_texts(
            words, lambda text: any(each.startswith(word) for each in text.split())
        )

    def _in_texts(self, words: Integers, fits: Callable[[str], bool]) -> Truths:
        """Which texts have one of these words of the index; of the patch, which ``fits`` takes."""
        found = np.zeros(self.size, dtype=np.bool_)
        lengths = self.firsts[words + 1] - self.firsts[words]
        total = int(lengths.sum())
        if total:
            skips = self.firsts[words] - (np.cumsum(lengths) - lengths)
            found[self.texts.take(np.repeat(skips, lengths) + np.arange(total))] = True
        if self.patch:
            numbers = np.fromiter(self.patch, dtype=np.int64, count=len(self.patch))
            found[numbers] = [fits(text) for text in self.patch.values()]
        return found

    def vocabulary(self) -> set[str]:
        """The distinct words of all texts."""
        return set(self._known()).union(*(text.split() for text in self.patch.values()))

    def _words_having(self, word: str) -> Integers:
        """Numbers of the distinct words that contain ``word``, ascending."""
        needle = np.frombuffer(word.encode("utf-8", "surrogatepass"), dtype=np.uint8)
        at = np.flatnonzero(self.letters == needle[0])  # a break ends all: none runs over
        for offset in range(1, len(needle)):
            at = at.compress(self.letters.take(at + offset) == needle[offset])
        hit = np.zeros(len(self.starts), dtype=np.bool_)
        hit[np.searchsorted(self.starts, at, side="right") - 1] = True
        return np.flatnonzero(hit)

    def _words_beginning(self, word: str) -> Integers:
        """Numbers of the distinct words that begin with ``word``, ascending."""
        needle = np.frombuffer(word.encode("utf-8", "surrogatepass"), dtype=np.uint8)
        hit = np.arange(len(self.starts), dtype=np.int32)
        for offset in range(len(needle)):  # a word that has ended is out before it runs over
            hit = hit.compress(self.letters.take(self.starts.take(hit) + offset) == needle[offset])
        return hit

    def settled(self, keep: Integers | None = None) -> Haystack:
        """The same with the patch worked in and words no longer used dropped.

        ``keep`` (numbers, ascending) leaves out all other texts and numbers those kept from 0.
        """
        if keep is None and not self.patch:
            return self
        size = self.size if keep is None else len(keep)
        renumbered = np.full(self.size, -1, dtype=np.int32)
        renumbered[slice(None) if keep is None else keep] = np.arange(size, dtype=np.int32)
        gathered = Words(self._known())
        for number, text in self.patch.items():
            if renumbered[number] >= 0:
                gathered.add(int(renumbered[number]), text)
        renumbered[np.fromiter(self.patch, dtype=np.int64, count=len(self.patch))] = -1
        texts = renumbered.take(self.texts)
        pairs = np.repeat(np.arange(len(self.starts), dtype=np.int64) << 32, np.diff(self.firsts))
        pairs |= texts
        return gathered.stacked(size, pairs.compress(texts >= 0))

    def _known(self) -> list[str]:
        """The distinct words of the index, by their numbers."""
        return self.letters.tobytes().decode("utf-8", "surrogatepass").split("\n")[:-1]

    def packed(self, name: str) -> Arrays:
        """The index as arrays under this name; what is patched must be settled first.

        >>> arrays = Haystack.of(["a net", ""]).packed("notes")
        >>> Haystack.unpacked("notes", arrays).having("et").tolist()
        [True, False]
        """
        if self.patch:
            raise ValueError("Settle the texts before they are packed.")
        size = np.array([self.size], dtype=np.int64)
        return {f"{name} size": size} | {f"{name} {of}": getattr(self, of) for of in _INDEX}

    @classmethod
    def unpacked(cls, name: str, arrays: Arrays) -> Haystack:
        """What was packed under this name."""
        letters, starts, firsts, texts = (arrays[f"{name} {of}"] for of in _INDEX)
        return cls(int(arrays[f"{name} size"][0]), letters, starts, firsts, texts)
