"""Which sentences of a speaker's notes are still as they were drafted, and drafting them again.

What is computed: texts from sentences and texts. A sentence that was drafted and still stands in
the notes word for word is a draft; all else is the speaker's own and stays as it is.

>>> old = [Sentence("metal", "It is bronze."), Sentence("size", "It is small.")]
>>> new = [Sentence("metal", "It is brass."), Sentence("size", "It is small.")]
>>> notes = "It is bronze. I found it in a drawer.\\n\\nIt is small."
>>> [(each.was.text, each.now.text) for each in changed(notes, old, new)]
[('It is bronze.', 'It is brass.')]
>>> drafted_again(notes, old, new)
'It is brass. I found it in a drawer.\\n\\nIt is small.'
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from series.telling.sentences import Sentence
from series.telling.talk import paragraphs as paragraphs_of

_GAPS = re.compile(r"\n[ \t]*\n\s*")
_ROOM = re.compile(r"[ \t]{2,}")


@dataclass(frozen=True)
class Redrafted:
    """A sentence as it was drafted and as it would be now; None where it is said no more."""

    was: Sentence
    now: Sentence | None


def paragraphs(notes: str) -> tuple[str, ...]:
    """The paragraphs of notes, parted by empty lines."""
    return tuple(part.strip() for part in _GAPS.split(notes.replace("\r\n", "\n")) if part.strip())


def standing(notes: str, drafted: Sequence[Sentence]) -> list[Sentence]:
    """The drafted sentences that still stand in the notes word for word."""
    said = _in_line(notes)
    return [each for each in drafted if each.text and _stands(said, each.text)]


def changed(notes: str, drafted: Sequence[Sentence], now: Sequence[Sentence]) -> list[Redrafted]:
    """The drafts that still stand and would be drafted otherwise now, or no more."""
    of_key = {each.key: each for each in now}
    texts = {each.text for each in now}

    def stays(was: Sentence) -> bool:
        same = of_key.get(was.key)
        return was.text in texts if same is None else same.text == was.text

    return [
        Redrafted(each, of_key.get(each.key))
        for each in standing(notes, drafted)
        if not stays(each)
    ]


def added(notes: str, drafted: Sequence[Sentence], now: Sequence[Sentence]) -> list[Sentence]:
    """The sentences about something new that come in when the notes are drafted again."""
    known = {each.key for each in drafted}
    said = _in_line(notes)
    return [each for each in now if each.key not in known and not _stands(said, each.text)]


def drafted_again(notes: str, drafted: Sequence[Sentence], now: Sequence[Sentence]) -> str:
    """The notes with every draft that still stands as it would be now, nothing else touched.

    A sentence about something new comes after the draft that it follows, or at the end. Notes
    that hold nothing are what is drafted now.
    """
    if not notes.strip():
        return "\n\n".join(paragraphs_of(now))
    text = notes.replace("\r\n", "\n")
    for step in changed(text, drafted, now):
        text = _put(text, step.was.text, step.now.text if step.now else "")
    known = {each.key for each in drafted}
    for place, each in enumerate(now):
        if each.key not in known and not _stands(_in_line(text), each.text):
            text = _after(text, now[:place], each)
    return "\n\n".join(paragraphs(text))


def _in_line(text: str) -> str:
    return " ".join(text.split())


def _stands(said: str, sentence: str) -> bool:
    """Whether a sentence stands in a line by itself: not as the end or start of a longer one."""
    return _place(said, _in_line(sentence)) is not None


def _place(said: str, sentence: str) -> re.Match[str] | None:
    words = r"\s+".join(re.escape(word) for word in sentence.split())
    return re.search(rf"(?<!\S){words}(?!\S)", said) if words else None


def _put(text: str, was: str, now: str) -> str:
    found = _place(text, was)
    if found is None:
        return text
    return _ROOM.sub(" ", text[: found.start()] + now + text[found.end() :])


def _after(text: str, before: Sequence[Sentence], sentence: Sentence) -> str:
    """A sentence after the last of those before it that stands, in its paragraph if it fits."""
    for each in reversed(before):
        found = _place(text, each.text)
        if found is not None:
            said, rest = text[: found.end()], text[found.end() :]
            if _about(each) == _about(sentence):
                return f"{said} {sentence.text}{rest}"
            return f"{said}\n\n{sentence.text}\n\n{rest.lstrip()}"
    return f"{text.rstrip()}\n\n{sentence.text}"


def _about(sentence: Sentence) -> str:
    return sentence.key.partition(".")[0]
