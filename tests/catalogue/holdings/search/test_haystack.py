"""Parts of words in many texts, against ``in``."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.holdings.search.haystack import Haystack

some_text = st.text(alphabet="ab\u00c3\u00e9\u0663\U00010140\udc80 \n\u2003", max_size=10)
some_word = st.text(alphabet="ab\u00c3\u00e9\u0663\U00010140\udc80", min_size=1, max_size=3)


@given(st.lists(some_text, max_size=6), some_word)
@settings(max_examples=300)
def test_a_word_is_found_where_the_text_has_it(texts: list[str], word: str) -> None:
    assert Haystack.of(texts).having(word).tolist() == [word in text for text in texts]


@given(st.lists(some_text, max_size=6), st.dictionaries(st.integers(0, 5), some_text), some_word)
@settings(max_examples=300)
def test_a_word_is_found_where_one_of_the_text_begins_with_it(
    texts: list[str], patch: dict[int, str], word: str
) -> None:
    now = {**dict(enumerate(texts)), **patch}
    begun = [any(w.startswith(word) for w in now.get(n, "").split()) for n in range(6)]
    stack = Haystack.of(texts).patched(patch, 6)
    assert stack.beginning(word).tolist() == begun
    assert stack.settled().beginning(word).tolist() == begun


@given(
    st.lists(some_text, max_size=6),
    st.dictionaries(st.integers(0, 8), some_text),
    st.sets(st.integers(0, 8)),
    some_word,
)
def test_patched_and_settled_stacks_agree(
    texts: list[str], patch: dict[int, str], keep: set[int], word: str
) -> None:
    now = {**dict(enumerate(texts)), **patch}
    expected = [word in now.get(number, "") for number in range(9)]
    stack = Haystack.of(texts).patched(patch, 9)
    assert stack.having(word).tolist() == expected
    assert stack.settled().having(word).tolist() == expected
    kept = sorted(keep)
    assert stack.settled(kept).having(word).tolist() == [expected[number] for number in kept]


def test_words_no_longer_used_are_dropped() -> None:
    stack = Haystack.of(["secret", "net"]).patched({0: "net"}, 2).settled()
    assert stack.letters.tobytes() == b"net\n"


@pytest.mark.parametrize("word", ["", " ", "two words", "net\n"])
def test_a_search_for_other_than_one_word_is_refused(word: str) -> None:
    with pytest.raises(ValueError, match="one word"):
        Haystack.of(["net"]).having(word)
    with pytest.raises(ValueError, match="one word"):
        Haystack.of(["net"]).beginning(word)
