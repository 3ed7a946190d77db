"""Captions against the standard: W3C, "WebVTT: The Web Video Text Tracks Format", read back by the
published parser webvtt-py.
"""

from __future__ import annotations

import html
import io

import webvtt
from hypothesis import given
from hypothesis import strategies as st

from catalogue.talks.handing_out import cues
from catalogue.talks.handing_out.cues import LINE_MOST, LINES, Spoken

HARD = "Iron & bronze <1916> --> a\n\nnext-->line\r\n&amp; \u2028 end"


def read(text: str) -> list[webvtt.Caption]:
    return list(webvtt.from_buffer(io.StringIO(text)).captions)


def test_a_caption_comes_back_as_it_was() -> None:
    stops = [Spoken(1, "25 tinne, 1970", "A net."), Spoken(2, "50 tinne", "Seven sides.")]
    first, second = read(cues.webvtt(cues.cues(stops, [72_500, 3_600_000]), "As planned."))
    assert (first.identifier, first.start, first.end) == ("stop-1", "00:00:00.000", "00:01:12.500")
    assert first.lines == ["25 tinne, 1970", "A net."]
    assert (second.start, second.end) == ("00:01:12.500", "01:01:12.500")


def test_what_would_break_a_file_is_written_as_references() -> None:
    text = cues.webvtt(cues.cues([Spoken(1, HARD, HARD)], [9000]), HARD)
    assert "&lt;1916&gt;" in text
    timings = [line for line in text.splitlines() if "-->" in line]
    assert len(timings) == len(read(text))
    said = html.unescape(" ".join(caption.text for caption in read(text))).split()
    assert said == 2 * HARD.split()


def test_a_long_caption_is_broken_into_lines_and_goes_on() -> None:
    caption = "the sheaf is bound with a cord of three strands, " * 6
    found = cues.cues([Spoken(1, "25 tinne", caption)], [30_000])
    assert len(found) > 2
    assert all(len(cue.lines) <= LINES for cue in found)
    assert all(len(line) <= LINE_MOST for cue in found for line in cue.lines)
    assert found[0].start == 0
    assert found[-1].end == 30_000


def test_a_stop_that_took_no_time_has_no_cue() -> None:
    found = cues.cues([Spoken(1, "a"), Spoken(2, "b"), Spoken(3, "c")], [5, 0, 5])
    assert [cue.name for cue in found] == ["stop-1", "stop-3"]


words = st.text(st.characters(codec="utf-8", exclude_categories=("Cs",)), max_size=160)
spoken = st.builds(Spoken, st.integers(1, 300), words, words)
timed = st.lists(st.tuples(spoken, st.integers(0, 90_000)), max_size=12)


@given(timed, st.integers(0, 4_000_000))
def test_cues_follow_each_other_and_end_later_than_they_begin(
    found: list[tuple[Spoken, int]], first: int
) -> None:
    """Section 3.1: the end is greater than the start, a start is not before an earlier one."""
    stops, lengths = [stop for stop, _ in found], [length for _, length in found]
    at = first
    for cue in cues.cues(stops, lengths, first):
        assert at <= cue.start < cue.end
        at = cue.end
    assert at <= first + sum(lengths)


@given(timed)
def test_any_text_makes_a_file_that_a_published_parser_reads(
    found: list[tuple[Spoken, int]],
) -> None:
    made = cues.cues([stop for stop, _ in found], [length for _, length in found])
    captions = read(cues.webvtt(made, "As planned."))
    assert [caption.start for caption in captions] == [cues.time(cue.start) for cue in made]
    assert [caption.end for caption in captions] == [cues.time(cue.end) for cue in made]
    assert [[html.unescape(line) for line in caption.lines] for caption in captions] == [
        list(cue.lines) for cue in made
    ]
