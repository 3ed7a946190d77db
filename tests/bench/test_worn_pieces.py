"""The noise of the benches: what is drawn, and the probabilities said of it, are the same."""

from __future__ import annotations

import math
import random
from collections import Counter
from collections.abc import Iterator

import numpy as np
import pytest

from series.identifying.facts import RankedIssue, RankedType
from series.legends.spellings import StruckText


def a_type(number: int, legends: tuple[StruckText, ...], **more: object) -> RankedType:
    given: dict[str, object] = {
        "denomination": "10 falz",
        "composition": "Cu75Ni25",
        "edge": "plain",
        "mass_g": 3.9,
        "diameter_mm": 21.0,
        "thickness_mm": 1.5,
        "motifs": ("gull", "bird"),
        "issues": (RankedIssue(1, "1931", "1931"), RankedIssue(2, "1938", "1938", common=False)),
    }
    country = ("Halvern", "Ouran")[number % 2]
    return RankedType(number, str(number), "", country, legends=legends, **(given | more))  # type: ignore[arg-type]


LATIN = StruckText("10 T", "Latn")
ARABIC = StruckText("١٠ فلز", "Arab", "10 falz")
FACTS = [
    a_type(1, (LATIN,)),
    a_type(2, (LATIN, StruckText("ONE", "Latn")), outline="polygon", sides=12, thickness_mm=None),
    a_type(
        3,
        (ARABIC, LATIN),
        composition="ring: CuZn20Ni5; centre: Cu75Ni25 | Ni 7% | Cu75Ni25",
        edge="lettered, fine milled",
        denomination="half crown",
        issues=(RankedIssue(3, "١٣٤٦", "١٣٤٦"), RankedIssue(4, "MCMLII", "MCMLII")),
    ),
    a_type(
        4,
        (LATIN,),
        composition="silver 500",
        outline="square",
        diameter_mm=18.0,
        mass_g=2.0,
        edge="reeded",
        hole="round",
        panel="eleven-sided",
        motifs=("net",),
    ),
]
WEIGHTS = np.array([1.0, 1.0, 0.5, 0.02])


@pytest.fixture(scope="module")
def worn(bench_path: None) -> Iterator[object]:
    import worn_pieces

    return worn_pieces


KINDS = (
    "diameter", "mass", "thickness", "density", "colour", "magnet", "sound", "outline", "rings",
    "hole", "panel", "edge", "legend", "denomination", "year", "script", "motif", "country",
)  # fmt: skip
DRAWN = 4000


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("number", range(len(FACTS)))
def test_what_is_drawn_comes_as_often_as_is_said(worn, kind: str, number: int) -> None:
    """Chi-square of the commoner outcomes and of all others together, at one in a million."""
    noise = worn.Noise(FACTS, WEIGHTS)
    lot = random.Random(f"{kind} {number}")
    seen = Counter(noise.draw(lot, [kind], number).seen[kind] for _ in range(DRAWN))
    common = [each for each, _ in seen.most_common(60)]
    chances = [math.exp(noise.log_likelihood({kind: each})[number]) for each in common]
    rest = max(0.0, 1 - sum(chances))
    assert sum(chances) < 1 + 1e-9
    cells = [
        (seen[each], DRAWN * chance)
        for each, chance in zip(common, chances, strict=True)
        if DRAWN * chance >= 5
    ]
    others = (DRAWN - sum(count for count, _ in cells), DRAWN - sum(want for _, want in cells))
    assert rest >= 0
    if others[1] >= 5:
        cells.append(others)
    else:  # hardly anything else should come, and hardly anything did
        assert others[0] <= 25
    squares = sum((count - want) ** 2 / want for count, want in cells)
    free = max(len(cells) - 1, 1)
    # Wilson and Hilferty 1931: the cube root of chi-square over its freedom is nearly normal.
    z = ((squares / free) ** (1 / 3) - (1 - 2 / (9 * free))) / math.sqrt(2 / (9 * free))
    assert z < 4.75


@pytest.mark.parametrize("kind", ["colour", "edge", "denomination", "outline", "country", "motif"])
def test_the_answers_of_a_table_sum_to_one(worn, kind: str) -> None:
    table = worn.Noise(FACTS, WEIGHTS).kinds[kind].table
    assert np.allclose(table.sum(axis=-1), 1)


def test_readings_of_all_tools_sum_to_one(worn) -> None:
    noise = worn.Noise(FACTS, WEIGHTS)
    total = np.exp(noise.log_likelihood({"mass": None}))
    for hundredths in range(1, 800):
        texts = [f"{hundredths / 100:.2f}"]
        texts += [f"{hundredths / 100:.1f}"] if hundredths % 10 == 0 else []
        for text in texts:
            total += np.exp(noise.log_likelihood({"mass": (("mass", text),)}))
            stated = (("mass", text), ("mass_within", "0.25"))
            total += np.exp(noise.log_likelihood({"mass": stated}))
    assert np.allclose(total, 1, atol=2e-3)  # of types of 2 and 3.9 g


def test_the_exact_posterior_is_as_often_right_as_it_says(worn) -> None:
    """Several kinds together: grade, bias and person go through all of them."""
    noise = worn.Noise(FACTS, WEIGHTS)
    lot = random.Random(5)
    pieces = [noise.draw(lot, lot.sample(KINDS, lot.randint(1, 4))) for _ in range(3000)]
    posteriors = np.array([noise.posterior(each.seen) for each in pieces])
    said = posteriors.max(axis=1)
    right = posteriors.argmax(axis=1) == np.array([each.number for each in pieces])
    spread = math.sqrt(float((said * (1 - said)).sum())) / len(pieces)
    assert abs(right.mean() - said.mean()) < 4 * spread
    assert 0.6 < said.mean() < 0.999  # neither hopeless nor sure
    logs = np.log(np.maximum(posteriors, 1e-300))
    expected = (posteriors * logs).sum(axis=1)
    got = logs[range(len(pieces)), [each.number for each in pieces]]
    assert abs((got - expected).mean()) < 4 * (got - expected).std() / math.sqrt(len(pieces))


def test_who_looked_matters_and_is_summed_out(worn) -> None:
    noise = worn.Noise(FACTS, WEIGHTS)
    seen = {"diameter": (("diameter", "20.5"),), "thickness": (("thickness", "1.4"),)}
    careful, careless = (np.exp(noise.log_likelihood(seen, each)) for each in (0, 1))
    assert np.allclose(np.exp(noise.log_likelihood(seen)), (careful + careless) / 2)
    assert not np.allclose(careful, careless)


def test_one_calliper_is_off_alike_in_both_measures(worn) -> None:
    """Two readings that are both too small go together better than one by one."""
    noise = worn.Noise(FACTS, WEIGHTS)
    both = {"diameter": (("diameter", "20.7"),), "thickness": (("thickness", "1.2"),)}
    apart = sum(noise.log_likelihood({kind: seen}, 1)[0] for kind, seen in both.items())
    assert noise.log_likelihood(both, 1)[0] > apart


def test_an_unread_legend_and_a_misread_letter_have_the_chances_of_the_text(worn) -> None:
    noise = worn.Noise(FACTS[:1], np.ones(1))
    from worn_letters import CLEARS, FADES, LOST, MISREAD, PASSED_OVER, TURNED, WHOLE, _like

    grade, observer = 1, 0
    chance = noise.kinds["legend"].chances((("legend", "1? T"),), observer)[grade, 0, 0]
    share = (1 - LOST[observer][grade]) * (1 - PASSED_OVER[grade])
    share *= WHOLE[grade] * (1 - TURNED) + (1 - WHOLE[grade]) / 2 / 2  # or the stretch from 0 to 4
    fades, misread = FADES[grade], MISREAD[observer][grade]
    share *= (1 - fades) * fades * CLEARS * (1 - fades)
    for letter in "1T":
        share *= 1 - misread + misread * _like(letter)[letter]
    assert chance == pytest.approx(share, rel=1e-9)
    assert _like("O")["0"] > _like("O")["X"]
