from __future__ import annotations

import json
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from series.packs.load import load_pack

PACKS = Path(__file__).parents[3] / "fixtures" / "packs"
READINGS = ("--air", "5.00", "--water", "4.44", "--temperature", "21", "--within", "0.01")


def weigh(*words: str) -> str:
    out = StringIO()
    call_command("weigh_in_water", *words, stdout=out)
    return out.getvalue()


@pytest.fixture
def _packs(db: Any) -> None:
    load_pack(PACKS / "united-states")


@pytest.mark.usefixtures("_packs")
def test_it_says_what_agrees_and_cautions() -> None:
    words = weigh(*READINGS)
    assert words.startswith("Density 8.9 g/cm³, from 8.7 to 9.1")
    assert "Agrees with" in words
    assert "This authenticates nothing." in words


@pytest.mark.usefixtures("_packs")
def test_json_lists_the_compositions_of_the_records() -> None:
    found = json.loads(weigh(*READINGS, "--json"))
    assert found["least"] < found["density"] < found["most"]
    assert "Cu75Ni25" in found["agree"]
    assert "gold 22 carat" in found["disagree"]
    assert found["density"] == pytest.approx(8.91, abs=0.01)


@pytest.mark.usefixtures("_packs")
def test_the_beaker_gives_the_same() -> None:
    hung = json.loads(weigh(*READINGS, "--json"))
    beaker = "--air 5 --rise 0,56 --temperature 21 --within 0.01 --json"
    rise = json.loads(weigh(*beaker.split()))
    assert rise["density"] == pytest.approx(hung["density"])


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--air", "5", "--water", "6", "--temperature", "21", "--within", "0.01"), "is not less"),
        (("--air", "5", "--water", "4", "--temperature", "60", "--within", "0.01"), "outside 0 to"),
        (("--air", "five", "--water", "4", "--temperature", "2", "--within", "1"), "--air five is"),
        (("--air", "5", "--water", "4", "--temperature", "2", "--within", "0"), "How finely"),
        (("--air", "5", "--temperature", "2", "--within", "1"), "--water"),
        (("--air", "nan", "--rise", "1", "--temperature", "2", "--within", "1"), "--air nan is"),
    ],
)
def test_bad_input_gets_a_sentence(words: tuple[str, ...], says: str) -> None:
    with pytest.raises(CommandError, match=says):
        weigh(*words)
