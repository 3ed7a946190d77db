"""The open lists, written by somebody who did not write the reader, and a collector's own.

Terms and answers are those of the README beside the lists; of a row it is asked that its type,
year, mark and quantity are right without a human, or that a question is left where one must be.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.catalogue.importing.reading_lists import LISTS, count, rows_read

NAMES = sorted(
    path.name for path in LISTS.iterdir() if (LISTS / f"{path.name}.answers.json").exists()
)


def test_there_are_lists() -> None:
    assert len(NAMES) >= 7


@pytest.mark.parametrize("name", NAMES)
def test_a_list_is_understood(name: str) -> None:
    counted = count(LISTS / name)
    told = "\n".join([counted.shares, *counted.wrong])
    assert counted.columns_right >= 0.95 * counted.columns, told
    assert counted.right >= 0.98 * counted.matchable, told
    assert counted.sure_and_wrong == 0, told


# As the list kept by hand for years that the issue was tried with; from memory, no source.
BY_HAND = """Country;Coin;Date;Cond.
Ireland;2 cent;2003;VF
GB;1/- (scot);1950;F
France;20 cts marianne;1964;SUP
Germany;10 pf;1950 G;ss
Germany;2 euro;2002 A;vz
DDR;1 mark;1956;ss
Spain;25 ptas;1957*59;MBC
Euro;20c;1999;EF
Euro;0,10;2000;
USA;lincoln cent;1982;
USA;dime;1967;EF
USA;half $;1972 D;
Canada;quarter;1968;
Greece;2 dr;1926;
Halvern;1 Marl;1971 S;VF
?;brass token, holed;;
"""
RIGHT = {
    2: "euro-2-cent-globe", 6: "euro-2-states", 9: "euro-20-cent-states", 10: "euro-10-cent-states",
    12: "us-dime-clad", 13: "us-half-clad", 16: "halvern-reform-1-marl",
}  # fmt: skip


def test_a_list_of_many_countries_is_sure_of_what_the_packs_have_and_of_nothing_else(
    tmp_path: Path,
) -> None:
    path = tmp_path / "list.csv"
    path.write_text(BY_HAND)
    proposal, rows = rows_read(path)
    assert proposal.mapping.fields == ("country", "coin", "date", "grade")
    sure = {row.line: match.candidates[0].type_key for row, _reading, match in rows if match.sure}
    assert sure == RIGHT
    doubtful = {row.line: match for row, _reading, match in rows if match.candidates}
    assert {*doubtful} == {*RIGHT, 11}
    assert {each.type_key for each in doubtful[11].candidates} == {
        "us-1-cent-memorial-copper", "us-1-cent-memorial-zinc",
    }  # fmt: skip
