"""Evidence weighed against every type: how likely each thing said is, given each record.

What is computed: for each kind of evidence the natural logarithm of its likelihood for every type
of a ``TypeTable`` (nan where the record says nothing), and for a coin that is not in the records.
Then the posterior: prior × the product of the likelihoods, summing to one with "none of these".
The kinds are taken as independent given the type, each with the model that its module states:
``measures`` (diameter, mass, thickness, density), ``classes``, ``series.measuring.signs`` and
``edges``, ``readings`` (value, date, script, motif, country), ``series.legends``.

What a record lacks is neither for nor against: such a type gets the mean likelihood of the types
that do say something, weighted as in the prior. The prior of "none of these" is ``PRIOR_NONE``;
the rest is shared out by the purpose of a type (``series.identifying.table.WEIGHT``). What falls
into classes or words is, on a coin not in the records, half as common as in the records and half
anything (``ELSEWHERE_LIKE_RECORDS``); no source for these shares.

>>> from series.identifying.evidence import read_evidence
>>> from series.identifying.facts import RankedType
>>> table = TypeTable.of([RankedType(1, "a", "1 cent", "X", diameter_mm=18.0),
...                       RankedType(2, "b", "2 cent", "X", diameter_mm=21.0)])
>>> posterior = Weighing.of(table, read_evidence({"diameter": "18.0"})).posterior()
>>> posterior.types.round(3).tolist(), round(posterior.none, 3)
([0.997, 0.0], 0.002)
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from series.arrays import Floats, Ints, Mask
from series.identifying.classes import SIDES_COUNTED, log_sides
from series.identifying.evidence import CHOICES, MEASURES, Evidence, Measured
from series.identifying.measures import (
    TINY,
    log_density,
    log_density_of_metal,
    log_elsewhere,
)
from series.identifying.readings import (
    OTHER_COUNTRIES,
    OTHER_MOTIFS,
    OTHER_SCRIPTS,
    OTHER_WORDS,
    log_countries,
    log_date_elsewhere,
    log_dates,
    log_denominations,
    log_motif,
    log_scripts,
    motifs_named,
    words_of,
)
from series.identifying.table import TypeTable
from series.legends.letters import split_pieces

PRIOR_NONE = 0.05
"""Prior chance that a piece is of a type that is not in the records; no source."""
ELSEWHERE_LIKE_RECORDS = 0.5
SECOND_WIDTH = 0.3
"""How often a polygon or a square is measured across its other width; no source."""


@dataclass(frozen=True)
class Weighed:
    """One kind of evidence against all types.

    ``logs`` has an entry for each distinct thing that the records say (nan where that is nothing)
    and ``rows`` the number of that entry for each type, -1 being the last. ``elsewhere`` is the
    log likelihood for a coin that is not in the records; where ``mixed`` is set it is that of
    anything at all, yet to be mixed with the mean over the records.
    """

    logs: Floats
    rows: Ints
    elsewhere: float
    mixed: bool = False

    def of(self, number: int) -> float:
        """The log likelihood for one type; nan where its record says nothing."""
        return float(self.logs[self.rows[number]])

    def filled(self, weights: Floats) -> tuple[Floats, float]:
        """The logs for each type, with the mean where its record lacks; the log for elsewhere."""
        many = len(self.logs)
        shares = np.bincount(self.rows % many, weights, minlength=many) if many else self.logs
        known = ~np.isnan(self.logs) & (shares > 0)
        if not known.any():
            return np.zeros(len(weights)), 0.0
        top = float(self.logs[known].max())
        chances = np.exp(self.logs[known] - top)
        mean = top + math.log(float((shares[known] * chances).sum() / shares[known].sum()))
        elsewhere = self.elsewhere
        if self.mixed:
            like = math.log(ELSEWHERE_LIKE_RECORDS) + mean
            anything = math.log(1 - ELSEWHERE_LIKE_RECORDS) + elsewhere
            elsewhere = float(np.logaddexp(like, anything))
        return np.where(np.isnan(self.logs), mean, self.logs)[self.rows], elsewhere


@dataclass(frozen=True)
class Posterior:
    """Probabilities of each type and of "none of these"; together they are one."""

    types: Floats
    none: float


@dataclass(frozen=True)
class Weighing:
    """All the evidence on one piece, weighed.

    ``date_logs`` are the logs of the date that was read for each date of the table: zero when none
    was.
    """

    table: TypeTable
    evidence: Evidence
    weighed: Mapping[str, Weighed]
    date_logs: Floats

    @classmethod
    def of(cls, table: TypeTable, evidence: Evidence) -> Weighing:
        """Weigh everything that the evidence gives."""
        weighed: dict[str, Weighed] = {}
        for measure in MEASURES:
            measured: Measured | None = getattr(evidence, measure)
            if measured is not None:
                weighed[measure] = _measure(table, measure, measured)
        for kind in CHOICES:
            seen: str = getattr(evidence, kind)
            if kind == "outline" and evidence.sides is not None:
                weighed[kind] = _sides(table, seen, evidence.sides)
            elif seen:
                weighed[kind] = _class(table, kind, seen)
        dates = np.zeros(len(table.issues.things))
        if evidence.year:
            dates = log_dates(evidence.year, evidence.calendar, table.issues.things)
            weighed["year"] = _year(table, dates, evidence)
        weighed |= _words(table, evidence)
        return cls(table, evidence, weighed, dates)

    def posterior(self, eligible: Mask | None = None, none_prior: float = PRIOR_NONE) -> Posterior:
        """The probabilities, over the types that are ``eligible`` (all, if None)."""
        weights = self.table.weights if eligible is None else self.table.weights * eligible
        whole = float(weights.sum())
        if not whole:
            return Posterior(np.zeros(len(self.table)), 1.0)
        with np.errstate(divide="ignore"):
            logs = np.log(weights / whole) + math.log1p(-none_prior)
            none = math.log(none_prior) if none_prior else -math.inf
        for each in self.weighed.values():
            filled, elsewhere = each.filled(weights)
            logs = logs + filled
            none += elsewhere
        top = max(float(logs.max()), none)
        chances = np.exp(logs - top)
        not_one = math.exp(none - top)
        total = float(chances.sum()) + not_one
        return Posterior(chances / total, not_one / total)

    def issue_chances(self, number: int) -> Floats:
        """The chance of each issue of a type, given the type; in the order of its issues."""
        start, end = self.table.issues.start[number : number + 2]
        logs = np.log(self.table.issue_weights[start:end])
        logs = logs + self.date_logs[self.table.issues.rows[start:end]]
        chances = np.exp(logs - logs.max(initial=-math.inf))
        found: Floats = chances / chances.sum() if len(chances) else chances
        return found


def _measure(table: TypeTable, measure: str, measured: Measured) -> Weighed:
    value, within = measured.value, measured.within
    elsewhere = log_elsewhere(measure, value)
    if measure == "density":
        logs = log_density_of_metal(value, within, table.metal_low, table.metal_high)
        return Weighed(logs, table.metal, elsewhere)
    standards = table.standards[measure]
    logs = log_density(measure, value, within, standards.value, standards.remedy)
    if measure == "diameter":
        other = log_density(measure, value, within, standards.other, standards.remedy)
        two = ~np.isnan(standards.other)
        logs[two] = np.logaddexp(
            logs[two] + math.log(1 - SECOND_WIDTH), other[two] + math.log(SECOND_WIDTH)
        )
    return Weighed(logs, standards.rows, elsewhere)


def _class(table: TypeTable, kind: str, seen: str) -> Weighed:
    classed = table.classed[kind]
    return Weighed(classed.logs(seen), classed.rows, -math.log(len(CHOICES[kind])), mixed=True)


def _sides(table: TypeTable, outline: str, said: int) -> Weighed:
    """The number of sides, scallops or indentations, with the outline if that was said too."""
    classed = table.classed["outline"]
    logs, elsewhere = np.where(np.isnan(classed.chances[:, 0]), np.nan, 0.0), 0.0
    if outline:
        alone = _class(table, "outline", outline)
        logs, elsewhere = alone.logs, alone.elsewhere
    counted = log_sides(said, table.sides, table.has_sides)
    # A record without the number of sides is weighed by its outline alone.
    known = ~np.isnan(counted)
    shares = table.weights[known]
    mean = np.log(np.average(np.exp(counted[known]), weights=shares)) if known.any() else 0.0
    both = logs[classed.rows] + np.where(known, counted, mean)
    return Weighed(both, table.every, elsewhere - math.log(SIDES_COUNTED), mixed=True)


def _year(table: TypeTable, dates: Floats, evidence: Evidence) -> Weighed:
    sums = table.issues.sums(np.exp(dates)[table.issues.rows] * table.issue_weights)
    logs = np.where(table.issues.counts > 0, np.log(np.maximum(sums, TINY)), np.nan)
    return Weighed(logs, table.every, log_date_elsewhere(evidence.year, evidence.calendar))


def _words(table: TypeTable, evidence: Evidence) -> dict[str, Weighed]:
    """What was read or guessed in words: value, script, motifs, country, legend."""
    found: dict[str, Weighed] = {}
    if words := words_of(evidence.denomination):
        logs = log_denominations(evidence.denomination, table.denomination_words)
        anything = -len(words) * math.log(OTHER_WORDS)
        found["denomination"] = Weighed(logs, table.denomination.rows, anything, mixed=True)
    if evidence.script:
        logs = log_scripts(evidence.script, table.script.things)
        found["script"] = Weighed(logs, table.script.rows, -math.log(OTHER_SCRIPTS), mixed=True)
    if evidence.motifs:
        logs = sum((_motif(table, each) for each in evidence.motifs), start=np.zeros(len(table)))
        anything = -len(evidence.motifs) * math.log(OTHER_MOTIFS)
        found["motif"] = Weighed(logs, table.every, anything, mixed=True)
    if evidence.countries:
        logs = log_countries(evidence.countries, table.country.things)
        found["country"] = Weighed(logs, table.country.rows, -math.log(OTHER_COUNTRIES), mixed=True)
    if pieces := split_pieces(evidence.legend):
        told = table.legends.weigh(pieces)
        found["legend"] = Weighed(told.types, table.every, told.elsewhere)
    return found


def _motif(table: TypeTable, said: str) -> Floats:
    named = motifs_named(said, table.motif_words)
    hits = table.motifs.sums(named[table.motifs.rows].astype(np.float64))
    return log_motif(hits > 0, table.motifs.counts.astype(np.float64), table.motifs.things)
