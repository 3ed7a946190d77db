"""Whatever stands in a list, understanding it never fails and loses nothing."""

from __future__ import annotations

from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.importing.reading.cells import Habits, habits_of, understand
from catalogue.importing.reading.figures import read_price
from catalogue.importing.reading.grade_words import HABITS
from catalogue.importing.reading.lists import FIELDS, Mapping, Row, Table
from catalogue.importing.reading.values import read_value
from series.dates.edtf import parse_edtf

WORDS = st.one_of(
    st.text(max_size=30),
    st.sampled_from(
        [
            "1950 G",
            "VF/EF",
            "ss-",
            "5,– Kr.",
            "2x",
            "ca. 1890",
            "20.03.2004",
            "USA",
            "½",
            "1/0",
            "0/0 d",
            "1 0/1",
            "Halvern",
            '"',
            "-",
            "?",
            "1+1",
            "²³",
            "٣ قروش",
            "昭和",
            "1/2/3",
            "9" * 40,
            "€",
            "1e5",
            "0",
            "１９５０",
        ]
    ),
    st.text(st.sampled_from("0123456789/.,-– €$½XxA'\"("), max_size=14),
)
FIELD = st.sampled_from(sorted(FIELDS))


@settings(max_examples=400, deadline=None)
@given(st.lists(st.tuples(FIELD, WORDS), max_size=7), st.sampled_from(["", *HABITS]), st.booleans())
def test_understanding_never_raises_and_loses_nothing(
    columns: list[tuple[str, str]], scale: str, day_first: bool
) -> None:
    row = Row(7, tuple(text for _name, text in columns))
    mapping = Mapping(False, 0, tuple(name for name, _text in columns))
    reading = understand(row, mapping, Habits(scale=scale, day_first=day_first, decimal=","))
    rest = dict(reading.rest)
    for column, (name, text) in enumerate(columns):
        if text.strip() and rest.get(column, "").strip() != text.strip():
            assert reading.kind == "coin"
            assert name, "a column without a field is kept as text"
            own = [k for k in reading.values if k == name or name == "coin"]
            assert own, (name, text, reading)
    for unread in reading.unread:
        assert rest[unread.column].strip() == unread.text
        assert unread.why.endswith(".")
    coin_date = reading.values.get("date")
    if coin_date is not None and coin_date.edtf:
        assert parse_edtf(coin_date.edtf).lower_year == coin_date.first


@settings(max_examples=100, deadline=None)
@given(
    st.lists(st.lists(WORDS, max_size=5), max_size=8), st.lists(FIELD, max_size=5), st.booleans()
)
def test_no_table_breaks_its_habits(rows: list[list[str]], fields: list[str], headed: bool) -> None:
    table = Table("x", tuple(Row(n, tuple(cells)) for n, cells in enumerate(rows, 1)))
    mapping = Mapping(headed, 0, tuple(fields))
    habits = habits_of(table, mapping)
    for row in table.rows:
        understand(row, mapping, habits)


@settings(max_examples=300, deadline=None)
@given(st.text(max_size=40))
def test_a_value_keeps_its_text_and_a_positive_number(text: str) -> None:
    value = read_value(text)
    assert value.text == text
    assert value.number is None or value.number >= 0


@settings(max_examples=200)
@given(st.integers(1, 10**6), st.integers(0, 99), st.sampled_from([",", "."]))
def test_a_price_comes_back_as_it_is_written(whole: int, cents: int, decimal: str) -> None:
    thousands = "." if decimal == "," else ","
    written = f"{whole:,}".replace(",", thousands) + f"{decimal}{cents:02d} EUR"
    assert read_price(written, decimal, "") == (Decimal(whole) + Decimal(cents) / 100, "EUR")
