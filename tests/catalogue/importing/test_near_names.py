"""Names one slip away from a text; what a slip is stands in the module, no source."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from catalogue.importing.reading.near_names import by_length, near

NAMES = st.text("abcdeilmnorst", min_size=7, max_size=12)


@given(NAMES, st.data())
def test_a_name_is_found_by_one_slip(name: str, data: st.DataObject) -> None:
    at = data.draw(st.integers(1, len(name) - 2))
    letter = data.draw(st.sampled_from("xyz"))
    swapped = name[:at] + name[at + 1] + name[at] + name[at + 2 :]
    slips = (name[:at] + name[at + 1 :], name[:at] + letter + name[at:])
    slips += (name[:at] + letter + name[at + 1 :], *({swapped} - {name}))
    for slip in {*slips} - {name}:
        assert near(slip, by_length([name, "something else"])) == [name]


@given(NAMES, NAMES)
def test_what_is_near_is_near_both_ways(one: str, other: str) -> None:
    assert near(one, by_length([other])) in ([], [other])
    assert bool(near(one, by_length([other]))) == bool(near(other, by_length([one])))


@given(NAMES)
def test_a_name_is_not_near_itself(name: str) -> None:
    assert near(name, by_length([name])) == []
