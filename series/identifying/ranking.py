"""What is this coin? Evidence in; ranked types, their reasons and the next look out.

What is computed: an ``Answer`` from a ``TypeTable`` and an ``Evidence``: the posterior of
``series.identifying.weighing``, the likeliest types with the chances of their issues and their
reasons, "none of these", and what to look at next. Probabilities are honest only as far as the
stated models are: they say how well records and evidence fit, and authenticate nothing.

>>> from series.identifying.evidence import read_evidence
>>> from series.identifying.facts import RankedIssue, RankedType
>>> coins = [RankedType(1, "a", "1 cent", "Halvern", mass_g=2.5, diameter_mm=18.0,
...                    issues=(RankedIssue(8, "1953", "1953"), RankedIssue(9, "1954", "1954"))),
...          RankedType(2, "b", "2 cents", "Halvern", mass_g=4.0, diameter_mm=18.5)]
>>> answer = identify(TypeTable.of(coins), read_evidence({"diameter": "18.0", "year": "195?"}))
>>> [each.label for each in answer.candidates], answer.next.look_at
(['1 cent', '2 cents'], 'weigh it')
>>> [(each.label, round(each.probability, 3)) for each in answer.candidates[0].issues]
[('1953', 0.5), ('1954', 0.5)]
"""

from __future__ import annotations

from collections.abc import Collection

import numpy as np
from numpy.typing import NDArray

from series.identifying.answer import Answer, Candidate, IssueChance
from series.identifying.evidence import Evidence
from series.identifying.looks import AT_HAND, TOOLS, looks
from series.identifying.reasons import reasons
from series.identifying.table import TypeTable
from series.identifying.weighing import PRIOR_NONE, Posterior, Weighing

LEAST = 1e-4
"""A type less likely than this is not listed, save the first."""
LEAST_ISSUE = 0.04
"""An issue is listed if it is at least this likely, against the likeliest of its type."""


def identify(
    table: TypeTable,
    evidence: Evidence,
    *,
    eligible: NDArray[np.bool_] | None = None,
    top: int = 10,
    tools: Collection[str] = AT_HAND,
    none_prior: float = PRIOR_NONE,
) -> Answer:
    """The ``top`` likeliest types among those ``eligible`` (all, if None), and what to do next.

    Raises ValueError for a tool that is not of ``TOOLS``.
    """
    if unknown := set(tools) - set(TOOLS):
        raise ValueError(f"{', '.join(sorted(unknown))}: choose from {', '.join(TOOLS)}")
    weighing = Weighing.of(table, evidence)
    posterior = weighing.posterior(eligible, none_prior)
    best = _best(posterior, top)
    return Answer(
        candidates=tuple(_candidate(weighing, posterior, number) for number in best),
        none_of_these=posterior.none,
        others=max(0.0, 1.0 - posterior.none - float(posterior.types[best].sum())),
        looks=looks(weighing, posterior, tools),
    )


def _best(posterior: Posterior, top: int) -> list[int]:
    """The likeliest types, the first of equals first."""
    chances = posterior.types
    many = min(top, len(chances))
    if many <= 0:
        return []
    least = np.partition(chances, -many)[-many]
    above = np.flatnonzero(chances > least)
    some = np.concatenate((above, np.flatnonzero(chances == least)[: many - len(above)]))
    order = some[np.argsort(-chances[some], kind="stable")]
    found = [int(each) for each in order if chances[each] >= LEAST]
    return found or [int(each) for each in order[:1] if chances[each] > 0]


def _candidate(weighing: Weighing, posterior: Posterior, number: int) -> Candidate:
    table = weighing.table
    start = int(table.issues.start[number])
    chances = weighing.issue_chances(number)
    order = np.argsort(-chances, kind="stable")
    issues = tuple(
        IssueChance(
            int(table.issue_ids[start + place]),
            table.issue_label.of(start + place),
            float(chances[place]),
        )
        for place in order
        if chances[place] >= LEAST_ISSUE * chances[order[0]]
    )
    return Candidate(
        type_id=int(table.ids[number]),
        key=table.keys[number],
        label=table.labels[number],
        country=table.country.of(number)[0],
        denomination=table.denomination.of(number),
        probability=float(posterior.types[number]),
        issues=tuple(each for each in issues if each.issue_id),
        reasons=reasons(weighing, number),
    )
