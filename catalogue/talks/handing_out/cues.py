"""Captions as WebVTT, a list of stops with times, and the marks of a recording.

What is computed: times in milliseconds, from the seconds at each stop or from marks that somebody
typed. WebVTT (W3C, "WebVTT: The Web Video Text Tracks Format"): the file begins with "WEBVTT", a
time is written 00:00:00.000, a cue ends later than it begins, its text has no empty line and no
"-->", and "&", "<" and ">" are written as references. Lines of at most 42 characters, two at a
time (common practice, no source); a longer caption goes on in the next cue, each with its share
of the time by its length.

>>> stop = Spoken(1, "25 tinne, 1970", "A net became three ears of wheat.")
>>> print(webvtt(cues([stop], [20_000]), "As planned."))
WEBVTT
<BLANKLINE>
NOTE As planned.
<BLANKLINE>
stop-1
00:00:00.000 --> 00:00:20.000
25 tinne, 1970
A net became three ears of wheat.
<BLANKLINE>
>>> marks("0:00 opening\\n1:12.5\\n1:02:03", 3)
[0, 72500, 3723000]
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import accumulate

from catalogue.talks.handing_out import words
from catalogue.talks.shown import ShownTalk

LINE_MOST, LINES = 42, 2


@dataclass(frozen=True)
class Spoken:
    """A stop as it is written into a file: its number from 1, its heading, the rest of its text."""

    number: int
    heading: str
    text: str = ""


@dataclass(frozen=True)
class Cue:
    """A caption from one time to another, in ms."""

    name: str
    start: int
    end: int
    lines: tuple[str, ...]


class MarksProblem(ValueError):
    """Marks that cannot be read; the sentence says which, and what to do."""


def starts_of(lengths: Sequence[int]) -> list[int]:
    """When each of several stops begins, given how long each is.

    >>> starts_of([5, 0, 7])
    [0, 5, 5]
    """
    return [0, *accumulate(lengths)][: len(lengths)]


def cues(stops: Sequence[Spoken], lengths: Sequence[int], first: int = 0) -> list[Cue]:
    """The cues of stops that last so many ms, the first from ``first`` on.

    A stop that took no time has none.
    """
    found: list[Cue] = []
    for stop, start, length in zip(stops, starts_of(lengths), lengths, strict=True):
        lines = [*broken(stop.heading), *broken(stop.text)]
        screens = [tuple(lines[at : at + LINES]) for at in range(0, len(lines), LINES)]
        screens = screens[: max(0, length)]  # a cue lasts one millisecond at least
        signs = [sum(map(len, screen)) for screen in screens]
        ends = [start + length * part // sum(signs) for part in accumulate(signs)]
        at = start
        for place, (screen, end) in enumerate(zip(screens, ends, strict=True)):
            name = f"stop-{stop.number}" + (f"-{place + 1}" if place else "")
            end = min(max(at + 1, end), start + length - (len(screens) - 1 - place))
            found.append(Cue(name, first + at, first + end, screen))
            at = end
    return found


def broken(text: str) -> list[str]:
    """A text in lines of at most 42 characters; only a longer word is parted.

    >>> broken("Smaller by two and a half millimetres; ears of wheat where the net was")
    ['Smaller by two and a half millimetres;', 'ears of wheat where the net was']
    """
    lines: list[str] = []
    for word in text.replace("\0", "").split():
        if lines and len(lines[-1]) + 1 + len(word) <= LINE_MOST:
            lines[-1] += f" {word}"
        else:
            lines += [word[at : at + LINE_MOST] for at in range(0, len(word), LINE_MOST)]
    return lines


def webvtt(found: Iterable[Cue], note: str) -> str:
    """A file of WebVTT."""
    blocks = ["WEBVTT", f"NOTE {escaped(note)}"]
    for cue in found:
        timing = f"{time(cue.start)} --> {time(cue.end)}"
        blocks.append("\n".join((cue.name, timing, *map(escaped, cue.lines))))
    return "\n\n".join(blocks) + "\n"


def escaped(text: str) -> str:
    """A text as a cue takes it.

    >>> escaped("a < b --> c & d")
    'a &lt; b --&gt; c &amp; d'
    """
    text = " ".join(text.split()).replace("\0", "")
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def time(ms: int) -> str:
    """A time as WebVTT writes it.

    >>> time(3_723_004)
    '01:02:03.004'
    """
    return f"{ms // 3_600_000:02}:{ms // 60_000 % 60:02}:{ms // 1000 % 60:02}.{ms % 1000:03}"


def clock(ms: int) -> str:
    """A time as people write it, to the second.

    >>> clock(72_500), clock(3_723_000)
    ('1:12', '1:02:03')
    """
    hours, minutes, seconds = ms // 3_600_000, ms // 60_000 % 60, ms // 1000 % 60
    return f"{hours}:{minutes:02}:{seconds:02}" if hours else f"{minutes}:{seconds:02}"


def times_list(title: str, stops: Sequence[Spoken], starts: Sequence[int], note: str) -> str:
    """The stops with the times at which they begin, a line for each."""
    lines = [
        f"{clock(start)} {stop.number}. {stop.heading}"
        for stop, start in zip(stops, starts, strict=True)
    ]
    return "\n".join((title, note, "", *lines)) + "\n"


def from_marks(found: Sequence[int], planned: Sequence[int]) -> tuple[list[int], list[int]]:
    """When each stop begins and how long it lasts, in ms, from marks.

    Without a mark for its end, the last stop lasts as long as it was planned.

    >>> from_marks([0, 5000, 9000], [1, 1, 8000])
    ([0, 5000, 9000], [5000, 4000, 8000])
    """
    starts = list(found[: len(planned)])
    ends = [*found, found[-1] + planned[-1]][1 : len(planned) + 1]
    return starts, [end - start for start, end in zip(starts, ends, strict=True)]


def notes_text(talk: ShownTalk) -> str:
    """The notes of a talk as plain text, a heading with its time before each stop."""
    seconds = [stop.seconds * 1000 for stop in talk.stops]
    parts = [talk.title]
    for stop, start in zip(talk.stops, starts_of(seconds), strict=True):
        parts.append(f"{stop.number + 1}. {stop.heading} ({clock(start)})")
        parts += stop.notes
    return "\n\n".join(parts) + "\n"


_MARK = re.compile(r"(?:(\d{1,2}):)?(\d{1,3}):([0-5]?\d)(?:[.,](\d{1,3}))?(?=\s|$)")
_NUMBERED = re.compile(r"\d{1,4}[.)]?\s+(?=\d{1,3}:)")


def marks(text: str, stops: int) -> list[int]:
    """When each stop begins, from a time on each line; what stands after it is not read.

    A time is 1:12, 1:12.5 or 1:02:03; a number of the stop may stand before it. There may be one
    mark more than stops: when the last ends. Raises MarksProblem.
    """
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    found: list[int] = []
    for number, line in enumerate(lines, 1):
        numbered = _NUMBERED.match(line)
        read = _MARK.match(line, numbered.end() if numbered else 0)
        if read is None or (read[1] and int(read[2]) > 59):
            raise MarksProblem(words.no_mark(number, line[:40]))
        hours, minutes, seconds = (int(part or 0) for part in read.groups()[:3])
        ms = int((read[4] or "0").ljust(3, "0"))
        at = ((hours * 60 + minutes) * 60 + seconds) * 1000 + ms
        if found and at <= found[-1]:
            raise MarksProblem(words.early_mark(number, clock(at), clock(found[-1])))
        found.append(at)
    if not stops <= len(found) <= stops + 1:
        raise MarksProblem(words.wrong_marks(len(found), stops))
    return found
