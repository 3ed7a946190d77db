"""Why a type may or may not be the piece in the hand: each kind of evidence in plain words.

What is computed: for a type of the table and the evidence on a piece, one ``Reason`` a kind: for,
against, or neither where the record says nothing. A measure is "for" while the stated spread and
wear explain it better than a mistaken reading would, and reach it from within the half-width of the
reading; what falls into classes while it is at least half as likely as the likeliest; words while
some of them fit. It says how light a piece is and no
more: nothing is inferred about its grade.

>>> from series.identifying.evidence import read_evidence
>>> from series.identifying.facts import RankedType
>>> table = TypeTable.of([RankedType(1, "a", "1 cent", "X", diameter_mm=18.0, mass_g=2.5)])
>>> evidence = read_evidence({"diameter": "17.2", "mass": "2.47", "thickness": "1.2"})
>>> for each in reasons(Weighing.of(table, evidence), 0):
...     print(each.verdict, each.words, sep=": ")
against: 0.8 mm too small (17.2 mm, recorded 18 mm)
for: mass agrees (2.47 g, 1.2 hundredths light of 2.5 g)
neither: thickness not recorded
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping

import numpy as np

from series.identifying.answer import Reason
from series.identifying.classes import NEAR_OUTLINES
from series.identifying.evidence import CHOICES, MEASURES, Measured
from series.identifying.measures import MODELS, density_of_reading
from series.identifying.readings import (
    CONVERTED,
    COUNTRY_MEANT,
    COUNTRY_RIGHT,
    DATE_FLOOR,
    matches_word,
    motifs_named,
    struck_in,
    value_forms,
)
from series.identifying.table import TypeTable
from series.identifying.weighing import Weighing
from series.legends.letters import split_pieces
from series.legends.places import PieceFit, fit_words
from series.measuring.against_standard import LESS_AND_MORE
from series.metal.material import described
from series.text.english import listed, outline_words
from series.text.scripts import as_seen, named, script_name
from series.text.words import number as figure

SPREADS = 2.0
"""So many spreads of striking still agree."""
LIKELY_ENOUGH = 0.5
"""A class at least this likely, against the likeliest one, speaks for a type."""

_NAMES: Mapping[str, str] = {
    "colour": "colour", "magnet": "magnet", "sound": "sound", "outline": "outline",
    "rings": "build", "hole": "hole", "panel": "inner panel", "edge": "edge",
    "denomination": "value", "year": "date", "script": "script", "motif": "motif",
    "country": "country", "legend": "legend",
}  # fmt: skip


def reasons(weighing: Weighing, number: int) -> tuple[Reason, ...]:
    """One reason for each kind of evidence given, in the order of the kinds."""
    found: list[Reason] = []
    for kind in weighing.evidence.given:
        if kind not in weighing.weighed:
            continue
        if math.isnan(weighing.weighed[kind].of(number)):
            name = MEASURES[kind][0] if kind in MEASURES else _NAMES[kind]
            found.append(Reason(kind, "neither", f"{name} not recorded"))
        elif kind in MEASURES:
            found.append(_measure(weighing, kind, number))
        elif kind in CHOICES:
            found.append(_class(weighing, kind, number))
        else:
            found.append(_WORDS[kind](weighing, number))
    return tuple(found)


def _measure(weighing: Weighing, measure: str, number: int) -> Reason:
    measured: Measured = getattr(weighing.evidence, measure)
    table = weighing.table
    if measure == "density":
        return _density(table, measured, number)
    name, unit, *_ = MEASURES[measure]
    recorded = table.standards[measure]
    widths = (recorded.value_of(number), recorded.other_of(number))
    known = [each for each in widths if not math.isnan(each)]
    standard = min(known, key=lambda each: abs(each - measured.value))
    difference = measured.value - standard
    said = f"{figure(measured.value, 2)} {unit}"
    if _is_explained(measure, measured, standard, recorded.remedy_of(number)):
        how = f"{said}, recorded {figure(standard, 2)} {unit}"
        if measure == "mass" and abs(difference) >= 0.005 * standard:
            word = LESS_AND_MORE[measure][difference > 0]
            share = figure(abs(difference) / standard * 100, 1)
            many = "hundredth" if share == "1" else "hundredths"
            how = f"{said}, {share} {many} {word} of {figure(standard, 2)} {unit}"
        if abs(difference) < 0.005:
            how = said
        elif abs(difference) <= measured.within:
            fineness = f"{figure(measured.within)} {unit}"
            how = f"{said} read to ± {fineness}, recorded {figure(standard, 2)} {unit}"
        return Reason(measure, "for", f"{name} agrees ({how})")
    off = f"{figure(abs(difference), 1 if unit == 'mm' else 2)} {unit}"
    how = LESS_AND_MORE[measure][difference > 0]
    words = f"{off} too {how} ({said}, recorded {figure(standard, 2)} "
    return Reason(measure, "against", f"{words}{unit})")


def _is_explained(measure: str, measured: Measured, standard: float, remedy: float) -> bool:
    """Whether spread and wear reach the reading, and explain it better than a mistake does."""
    model = MODELS[measure]
    struck = SPREADS * (model.strike * standard if math.isnan(remedy) else remedy / 2)
    lost = [share for share, _many in model.wear]
    least, most = (standard * (1 - share) for share in (max(lost), min(lost)))
    if not least - struck - measured.within <= measured.value <= most + struck + measured.within:
        return False
    each = np.array([standard])
    allowed = np.array([remedy])
    whole = density_of_reading(measure, measured.value, measured.within, each, allowed)[0]
    spread = model.mistake_spread * standard + measured.within
    off = (measured.value - standard) / spread
    mistake = model.mistaken * math.exp(-0.5 * off * off) / (spread * math.sqrt(2 * math.pi))
    return bool(mistake < whole / 2)


def _density(table: TypeTable, measured: Measured, number: int) -> Reason:
    row = table.metal[number]
    low, high = float(table.metal_low[row]), float(table.metal_high[row])
    range_words = figure(low, 2) if high - low < 0.005 else f"{figure(low, 2)} to {figure(high, 2)}"
    slack = 2 * (measured.within + 0.01 * measured.value)
    said = f"{figure(measured.value, 2)} g/cm³; the recorded metal has {range_words}"
    if low - slack <= measured.value <= high + slack:
        return Reason("density", "for", f"density agrees ({said})")
    word = "light" if measured.value < low else "heavy"
    return Reason("density", "against", f"too {word} a metal ({said})")


def _class(weighing: Weighing, kind: str, number: int) -> Reason:
    classed = weighing.table.classed[kind]
    seen: str = getattr(weighing.evidence, kind)
    if kind == "outline":
        return _outline(weighing, seen, number)
    row = classed.chances[classed.rows[number]]
    likeliest = classed.classes[int(row.argmax())]
    agrees = row[classed.classes.index(seen)] >= LIKELY_ENOUGH * row.max()
    recorded = str(classed.of(number))
    if kind in ("colour", "magnet", "sound"):
        metal = described(recorded) or recorded
        if kind == "sound":
            heard, expected = _SOUNDED[seen], _SOUNDED[likeliest]
            words = f"{heard}, as {metal} does" if agrees else f"{heard}; {metal} {expected}"
            return Reason(kind, "for" if agrees else "against", words)
        if agrees:
            return Reason(kind, "for", f"{_seen(kind, seen)}, as {metal} is known to be")
        return Reason(kind, "against", f"{_seen(kind, seen)}; {metal} is {_seen(kind, likeliest)}")
    name = _NAMES[kind]
    if agrees:
        return Reason(kind, "for", f"{name} agrees ({seen})" if seen != "none" else f"no {name}")
    expected = recorded if kind == "edge" else likeliest
    known = f"recorded {expected}" if expected != "none" else "recorded without one"
    words = f"{name} {seen}" if seen != "none" else f"no {name}"
    return Reason(kind, "against", f"{words}; {known}")


def _seen(kind: str, seen: str) -> str:
    if kind == "magnet":
        return {
            "none": "not magnetic",
            "weak": "weakly magnetic",
            "strong": "strongly magnetic",
            "centre only": "magnetic in the centre",
        }[seen]
    return seen


_SOUNDED: Mapping[str, str] = {
    "long ring": "rings long",
    "short ring": "rings briefly",
    "dull": "sounds dull",
}


def _outline(weighing: Weighing, seen: str, number: int) -> Reason:
    said, recorded = weighing.evidence.sides, int(weighing.table.sides[number])
    outline = str(weighing.table.classed["outline"].of(number))
    known = outline_words(outline, max(recorded, 0))
    if said is not None and not seen:
        return _sides(said, recorded, known, counted=bool(weighing.table.has_sides[number]))
    if seen != outline and seen not in NEAR_OUTLINES[outline]:
        return Reason("outline", "against", f"outline {seen}; recorded {known}")
    if said is not None and weighing.table.has_sides[number] and 0 < recorded != said:
        verdict = "for" if abs(recorded - said) == 1 else "against"
        return Reason("outline", verdict, f"{said} sides counted; recorded {known}")
    if seen != outline and not (said is not None and said == recorded):
        return Reason("outline", "for", f"outline nearly agrees ({seen}; recorded {known})")
    return Reason("outline", "for", f"outline agrees ({known})")


def _sides(said: int, recorded: int, known: str, *, counted: bool) -> Reason:
    """A number of sides, scallops or indentations, of which nothing more was said."""
    if counted and recorded < 0:
        return Reason("outline", "neither", f"recorded {known}, but not of how many sides")
    if said == recorded and counted:
        return Reason("outline", "for", f"the number of sides agrees ({known})")
    near = counted and abs(recorded - said) == 1
    return Reason("outline", "for" if near else "against", f"{said} counted; recorded {known}")


# What was read in words.


def _denomination(weighing: Weighing, number: int) -> Reason:
    table, said = weighing.table, weighing.evidence.denomination
    words = table.denomination_words[table.denomination.rows[number]]
    fits = [
        (form, [word for word in form if any(matches_word(word, each) for each in words)])
        for form in value_forms(said)
    ]
    asked, hits = max(fits, key=lambda fit: len(fit[1]) / max(len(fit[0]), 1))
    name = table.denomination.of(number)
    if len(hits) == len(asked):
        return Reason("denomination", "for", f"the value fits {name}")
    if hits:
        missing = [word for word in asked if word not in hits]
        return Reason("denomination", "against", f"{name} fits, but not {listed(missing)}")
    return Reason("denomination", "against", f"the value is {name}, not {said}")


def _year(weighing: Weighing, number: int) -> Reason:
    table, evidence = weighing.table, weighing.evidence
    said = evidence.year
    dates = table.issues.of(number)
    likely = weighing.date_logs[table.issues.at(number)]
    fits = [date for date, log in zip(dates, likely, strict=True) if log > math.log(0.5)]
    if fits:
        return Reason("year", "for", f"struck with the date {_either(d[0] or d[2] for d in fits)}")
    converted = struck_in(said, evidence.calendar, dates)
    if shown := [date for date, then in zip(dates, converted, strict=True) if then and date[0]]:
        # A civil date that differs speaks against it; one of another calendar was worked out.
        verdict = "against" if all(date[1] == "civil" for date in shown) else "for"
        each = _either(date[0] for date in shown)
        when = f"a year that {said} fits" if "?" in said else said
        return Reason("year", verdict, f"struck in {when}, with the date {each}")
    known = sorted(year for date in dates for year in date[2:] if year is not None)
    span = ""
    if known:
        span = f" (struck {known[0]}" + (f" to {known[-1]})" if known[-1] != known[0] else ")")
    if likely.max() > math.log(CONVERTED):
        return Reason("year", "against", f"{said} stands on it in another calendar{span}")
    if likely.max() > math.log(DATE_FLOOR * 5):
        return Reason("year", "against", f"{said} is no date of it, but one is near{span}")
    return Reason("year", "against", f"no date of it fits {said}{span}")


def _either(each: Iterable[str | int]) -> str:
    dates = list(dict.fromkeys(map(str, each)))
    if len(dates) > 4:
        return f"{', '.join(dates[:3])} or another of {len(dates)}"
    return listed(dates, last="or")


def _script(weighing: Weighing, number: int) -> Reason:
    table, said = weighing.table, weighing.evidence.script
    seen = as_seen(table.script.of(number))
    name = script_name(said)
    if named(said, seen):
        return Reason("script", "for", f"there is {name} on it")
    recorded = listed(sorted(map(script_name, seen)))
    return Reason("script", "against", f"no {name} on it; recorded {recorded}")


def _motif(weighing: Weighing, number: int) -> Reason:
    table = weighing.table
    names = table.motifs.of(number)
    shown = [table.motif_words[place] for place in table.motifs.at(number)]
    missing = [said for said in weighing.evidence.motifs if not motifs_named(said, shown).any()]
    if not missing:
        return Reason("motif", "for", f"shows {listed(list(weighing.evidence.motifs))}")
    some = names[:4] if len(names) <= 4 else [*names[:4], "…"]
    return Reason("motif", "against", f"no {listed(missing)} recorded; shows {', '.join(some)}")


def _country(weighing: Weighing, number: int) -> Reason:
    table = weighing.table
    name = table.country.of(number)[0]
    guessed = listed(list(weighing.evidence.countries))
    chance = math.exp(weighing.weighed["country"].of(number))
    if chance > COUNTRY_RIGHT * (1 + COUNTRY_MEANT) / 2:
        return Reason("country", "for", f"country agrees ({name})")
    if chance > COUNTRY_RIGHT * COUNTRY_MEANT / 2:
        return Reason("country", "for", f"country may be meant ({guessed}; recorded {name})")
    return Reason("country", "against", f"country is {name}, not {guessed}")


def _legend(weighing: Weighing, number: int) -> Reason:
    pieces = split_pieces(weighing.evidence.legend)
    fits = weighing.table.legends.explain(number, pieces)
    poor = [fit_words(each) for each in fits if not each.fits]
    if poor:
        return Reason("legend", "against", "; ".join(poor))
    whole = [each.piece for each in fits if _is_whole(each)]
    said = [f"the legend has {listed(whole)}"] if whole else []
    said += [fit_words(each) for each in fits if not _is_whole(each)]
    return Reason("legend", "for", "; ".join(said))


def _is_whole(fit: PieceFit) -> bool:
    """Whether a piece stands in the legend just as it was read."""
    return fit.how == "struck" and not (fit.wrong or fit.backwards or "?" in fit.piece)


_WORDS: Mapping[str, Callable[[Weighing, int], Reason]] = {
    "denomination": _denomination,
    "year": _year,
    "script": _script,
    "motif": _motif,
    "country": _country,
    "legend": _legend,
}
