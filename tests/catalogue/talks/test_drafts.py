"""A draft that stands is drafted again; what the speaker wrote never changes."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from catalogue.talks.drafts import changed, drafted_again, paragraphs, standing
from series.telling.sentences import Sentence

WORD = st.text("abcdefg", min_size=1, max_size=6)
TEXT = st.lists(WORD, min_size=2, max_size=5).map(lambda words: " ".join(words).capitalize() + ".")
OWN = st.lists(st.text("nopqrst", min_size=1, max_size=6), min_size=2, max_size=5).map(
    lambda words: " ".join(words).capitalize() + "!"
)
SENTENCES = st.dictionaries(
    st.sampled_from(("coin.what", "coin.body", "faces.obverse", "piece.date")), TEXT, max_size=4
).map(lambda said: [Sentence(key, text) for key, text in said.items()])


@given(SENTENCES, SENTENCES, st.lists(OWN, max_size=4), st.randoms())
def test_what_the_speaker_wrote_stays_word_for_word(
    old: list[Sentence], new: list[Sentence], own: list[str], chance: object
) -> None:
    parts = [*(each.text for each in old), *own]
    chance.shuffle(parts)  # type: ignore[attr-defined]
    notes = "\n\n".join(parts)
    again = drafted_again(notes, old, new)
    for text in own:
        assert again.count(text) >= notes.count(text)


@given(SENTENCES, SENTENCES)
def test_notes_of_nothing_but_drafts_become_the_new_drafts(
    old: list[Sentence], new: list[Sentence]
) -> None:
    notes = drafted_again("", [], old)
    again = drafted_again(notes, old, new)
    assert {each.text for each in new} <= {s.text for s in standing(again, new)}
    assert changed(again, new, new) == []


@given(SENTENCES, st.lists(OWN, max_size=3))
def test_drafting_again_where_nothing_changed_changes_nothing(
    old: list[Sentence], own: list[str]
) -> None:
    notes = "\n\n".join(paragraphs("\n\n".join([drafted_again("", [], old), *own])))
    assert drafted_again(notes, old, old) == notes


def test_an_edited_sentence_is_the_speakers_own() -> None:
    old = [Sentence("coin.body", "It is bronze.")]
    new = [Sentence("coin.body", "It is brass.")]
    assert drafted_again("It is bronze, they say.", old, new) == "It is bronze, they say."
    assert changed("It is bronze, they say.", old, new) == []


def test_a_sentence_that_was_struck_out_does_not_come_back() -> None:
    old = [Sentence("coin.what", "The penny."), Sentence("coin.body", "It is bronze.")]
    assert drafted_again("The penny.", old, old) == "The penny."


def test_a_sentence_about_something_new_comes_in_its_place() -> None:
    old = [Sentence("coin.what", "The penny."), Sentence("piece.date", "Dated 1901.")]
    new = [old[0], Sentence("coin.body", "It is bronze."), old[1]]
    assert drafted_again("The penny.\n\nDated 1901.", old, new) == (
        "The penny. It is bronze.\n\nDated 1901."
    )


def test_what_is_said_no_more_goes() -> None:
    old = [Sentence("coin.what", "The penny."), Sentence("worth.amount", "It is worth 3 €.")]
    assert drafted_again("The penny.\n\nIt is worth 3 €.", old, old[:1]) == "The penny."


def test_one_sentence_is_not_found_within_another() -> None:
    assert standing("It is bronze. It was brass.", [Sentence("a", "is bronze.")]) != []
    assert standing("It is bronze.x", [Sentence("a", "It is bronze.")]) == []
