from __future__ import annotations

import json
from io import StringIO
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from tests.conftest import Coinage
from tests.series.coinage_maker import add_issue, add_type


def run(*words: str) -> str:
    out = StringIO()
    call_command("read_year", *words, stdout=out)
    return out.getvalue()


def readings(*words: str) -> list[dict[str, Any]]:
    answer = json.loads(run(*words, "--json"))
    assert list(answer) == ["readings"]
    found: list[dict[str, Any]] = answer["readings"]
    return found


def test_json_has_the_five_fields_without_a_database() -> None:
    assert readings("١٣٨٩", "--calendar", "AH") == [
        {
            "calendar": "hijri",
            "shown_year": 1389,
            "civil_from": 1969,
            "civil_to": 1970,
            "edtf": "[1969,1970]",
        }
    ]
    assert len(readings("١٣?٩")) == 20


def test_a_table_for_people() -> None:
    head, first, *_ = run("١٣٨٩").splitlines()
    assert head.split() == ["calendar", "reading", "EDTF"]
    assert first.split("  ")[0] == "hijri"
    assert "1389 AH, 20 March 1969 to 8 March 1970 " in first
    assert first.index("[1969,1970]") == head.index("EDTF")


def test_an_accession_is_a_year_or_a_day() -> None:
    assert readings("9", "--accession", "1327")[0]["civil_from"] == 1916
    assert readings("3", "--accession", "1936-12-11")[0]["edtf"] == "[1938,1939]"


def test_a_type_says_which_readings_were_struck(coinage: Coinage) -> None:
    add_issue(add_type(coinage, 5), 1941, key="1941-s", mark_text="S")
    found = {r["shown_year"]: r for r in readings("19?1", "--type", "testland-type-5")}
    assert found[1931]["struck"] is True
    assert found[1941]["issues"] == ["1941 S"]
    assert (found[1921]["struck"], found[1921]["issues"]) == (False, [])
    table = run("19?1", "--type", "testland-type-5").splitlines()
    assert table[0].split()[-1] == "struck"
    assert any(line.endswith("1941 S") for line in table)


def test_an_issue_that_was_not_struck_strikes_nothing(coinage: Coinage) -> None:
    add_issue(add_type(coinage, 5), 1941, fact="not_struck")
    assert readings("1941", "--type", "testland-type-5")[0]["struck"] is False


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("19X8",), "write \\? for each figure"),
        (("1389", "--calendar", "moon"), "There is no calendar 'moon'"),
        (("9", "--accession", "then"), "write a year, such as 1327"),
        (("1931", "--type", "nowhere"), "There is no type 'nowhere'"),
    ],
)
def test_bad_input_gets_a_sentence(words: tuple[str, ...], says: str) -> None:
    with pytest.raises(CommandError, match=says):
        run(*words)


@pytest.mark.django_db
@pytest.mark.parametrize("key", ["\udcff", "a\x00b"])
def test_a_key_that_no_database_takes_is_no_type(key: str) -> None:
    with pytest.raises(CommandError, match="There is no type"):
        run("1953", "--type", key)
