"""What a person says of a piece, read and refused."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.identifying.evidence import (
    CHOICES,
    FIELDS,
    FINEST,
    EvidenceError,
    Measured,
    read_evidence,
)


def errors_of(**texts: str) -> dict[str, str]:
    with pytest.raises(EvidenceError) as caught:
        read_evidence(texts)
    return caught.value.errors


def test_nothing_is_required() -> None:
    assert read_evidence({}).given == ()


def test_fineness_is_half_of_the_last_figure_but_never_finer_than_a_tool() -> None:
    assert read_evidence({"mass": "6"}).mass == Measured(6.0, 0.5)
    assert read_evidence({"mass": "5.67"}).mass == Measured(5.67, FINEST["mass"])


def test_fineness_may_be_stated() -> None:
    assert read_evidence({"mass": "5.6", "mass_within": "± 0.2 g"}).mass == Measured(5.6, 0.2)


def test_a_fineness_of_nothing_is_refused() -> None:
    assert "half the width" in errors_of(diameter="20", diameter_within="0")["diameter_within"]


def test_every_mistake_is_named_at_once() -> None:
    found = errors_of(diameter="wide", magnet="maybe", sides="2", script="runes", year="soon")
    assert set(found) == {"diameter", "magnet", "sides", "script", "year"}


def test_a_measure_no_coin_has_is_refused() -> None:
    assert "from 3 to 120" in errors_of(diameter="2425")["diameter"]


def test_a_decimal_comma_and_a_unit_are_understood() -> None:
    evidence = read_evidence({"diameter": "24,25 mm", "density": "8.9 g/cm³"})
    assert evidence.diameter == Measured(24.25, 0.1)
    assert evidence.density == Measured(8.9, 0.05)


def test_sides_alone_are_evidence_of_the_outline() -> None:
    evidence = read_evidence({"sides": "7"})
    assert (evidence.outline, evidence.sides, evidence.given) == ("", 7, ("outline",))


def test_several_countries_and_motifs_are_parted_by_commas() -> None:
    evidence = read_evidence({"country": "Halvern, US", "motif": "gull; net"})
    assert (evidence.countries, evidence.motifs) == (("Halvern", "US"), ("gull", "net"))


def test_an_unknown_calendar_is_said_where_it_was_put_in() -> None:
    found = errors_of(year="1948", calendar="lunar")
    assert "no calendar known here: civil" in found["calendar"]
    assert "year" not in found


def test_a_text_longer_than_any_legend_is_refused() -> None:
    assert "longer" in errors_of(legend="A" * 301)["legend"]


@pytest.mark.parametrize("field", FIELDS)
@pytest.mark.parametrize("text", ["1" * 5000, "?" * 5000, "🙂" * 301])
def test_a_very_long_text_is_refused_in_few_words(field: str, text: str) -> None:
    if field.endswith("_within"):
        assert len(errors_of(**{field.removesuffix("_within"): "20", field: text})[field]) < 80
    else:
        assert len(errors_of(**{field: text})[field]) < 80


def test_more_pieces_than_a_coin_bears_are_refused() -> None:
    assert "without a space" in errors_of(legend="a " * 41)["legend"]


def test_what_is_said_twice_counts_once() -> None:
    evidence = read_evidence({"motif": "gull, Gull; net,gull", "country": "Halvern،HALVERN"})
    assert (evidence.motifs, evidence.countries) == (("gull", "net"), ("Halvern",))


@pytest.mark.parametrize("text", ["***", "—", ", ;", "★, •"])
def test_a_guess_without_a_letter_says_nothing(text: str) -> None:
    assert read_evidence({"country": text, "motif": text}).given == ()


@pytest.mark.parametrize("text", ["ab\x00c", "ab\x1b c", "ab \udcff c", "\x07ab\nc"])
def test_control_characters_are_left_out(text: str) -> None:
    assert read_evidence({"motif": text}).texts == {"motif": "ab c"}


@pytest.mark.parametrize("text", ["5g6", "g5.6", "5.6 mm", "½", "1e3", "∞", "-5.6"])
def test_a_mass_with_anything_but_its_unit_behind_it_is_none(text: str) -> None:
    assert "is no number" in errors_of(mass=text)["mass"]


def test_a_fineness_beyond_any_tool_is_refused() -> None:
    assert "half the width" in errors_of(mass="5", mass_within=f"0.{'0' * 290}1")["mass_within"]


@given(
    st.fixed_dictionaries(
        {},
        optional={
            **{kind: st.sampled_from(words) for kind, words in CHOICES.items()},
            "diameter": st.decimals(10, 40, places=2).map(str),
            "mass": st.decimals(1, 30, places=3).map(str),
            "year": st.integers(1000, 2020).map(str),
            "legend": st.text("ABC? ", max_size=20),
        },
    )
)
def test_what_is_stored_reads_as_the_same_evidence(texts: dict[str, str]) -> None:
    evidence = read_evidence(texts)
    assert read_evidence(evidence.texts) == evidence
    assert set(evidence.texts) <= set(FIELDS)


anything = st.text(max_size=30) | st.text("?*,;٣१½ \x00\u202e\u200f", max_size=30)


@given(st.fixed_dictionaries({}, optional=dict.fromkeys(FIELDS, anything)))
def test_any_text_is_read_or_refused_and_what_is_stored_reads_the_same(
    texts: dict[str, str],
) -> None:
    try:
        evidence = read_evidence(texts)
    except EvidenceError:
        return
    assert read_evidence(evidence.texts) == evidence
    assert dict(read_evidence(evidence.texts).texts) == dict(evidence.texts)
