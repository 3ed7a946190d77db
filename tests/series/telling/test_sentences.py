"""A sentence is kept as plain values and found again as it was."""

from __future__ import annotations

import json
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from series.telling.sentences import Sentence, Spot

clocks = st.integers(4, 51).map(lambda quarters: Decimal(quarters) / 4)
spots = st.builds(Spot, st.sampled_from(["obverse", "reverse"]), clocks, st.integers(0, 100))


@given(
    st.builds(
        Sentence,
        st.text(min_size=1),
        st.text(),
        st.lists(st.text()).map(tuple),
        st.text(),
        st.none() | spots,
    )
)
def test_a_sentence_comes_back_from_json_as_it_was(said: Sentence) -> None:
    assert Sentence.kept(json.loads(json.dumps(said.plain()))) == said
