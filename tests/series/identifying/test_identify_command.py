"""manage.py identify."""

from __future__ import annotations

import json
from io import StringIO
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from tests.conftest import Coinage
from tests.series.coinage_maker import add_type

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def types(coinage: Coinage) -> None:
    add_type(coinage, 5, diameter_mm="18", mass_g="2.5", composition="bronze")
    add_type(coinage, 25, diameter_mm="24.26", mass_g="5.67", composition="Cu75Ni25")


def run(*args: str) -> str:
    out = StringIO()
    call_command("identify", *args, stdout=out)
    return out.getvalue()


def test_json_has_the_promised_shape() -> None:
    found: dict[str, Any] = json.loads(
        run(
            "--diameter", "24.2", "--diameter-within", "0.1", "--mass", "5.6", "--colour", "white",
            "--magnet", "none", "--legend", "TES?LAND", "--year", "193?", "--top", "5", "--json",
        )
    )  # fmt: skip
    assert set(found) == {"candidates", "none_of_these", "next"}
    first = found["candidates"][0]
    assert list(first) == [
        "type", "label", "country", "denomination", "issues", "probability", "for", "against",
    ]  # fmt: skip
    assert first["type"] == "testland-type-25"
    assert sorted(first["issues"]) == ["1931", "1932", "1933"]
    assert first["probability"] > 0.8
    listed = sum(each["probability"] for each in found["candidates"])
    assert listed + found["none_of_these"] == pytest.approx(1, abs=1e-3)


def test_the_next_look_is_told() -> None:
    found = json.loads(run("--legend", "TESTLAND", "--json"))
    assert set(found["next"]) == {"look_at", "why"}


def test_top_limits_the_list() -> None:
    assert len(json.loads(run("--legend", "TESTLAND", "--top", "1", "--json"))["candidates"]) == 1


def test_the_plain_text_names_what_is_for_and_against() -> None:
    text = run("--diameter", "24.2", "--mass", "2.5")
    assert "+ diameter agrees" in text
    assert "− 3.17 g too light" in text
    assert "none of these" in text


@pytest.mark.parametrize(
    ("args", "message"),
    [
        ((), "Say at least one thing"),
        (("--diameter", "wide"), "--diameter: 'wide' is no number"),
        (("--magnet", "maybe"), "--magnet: 'maybe' is none of: none, weak"),
        (("--diameter", "20", "--top", "0"), "at least 1"),
        (("--diameter", "20", "--tools", "anvil"), "anvil: choose from ruler"),
    ],
)
def test_bad_input_says_what_to_write(args: tuple[str, ...], message: str) -> None:
    with pytest.raises(CommandError, match=message):
        run(*args)


def test_without_records_it_says_how_to_get_some() -> None:
    from series.models import CoinType

    CoinType.objects.all().delete()
    with pytest.raises(CommandError, match="load a pack"):
        run("--diameter", "20")
