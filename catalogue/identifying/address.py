"""What the address of the page asks: evidence, what is wrong in it, tools, a weighing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlencode

from django.http import HttpRequest

from catalogue.identifying.evidence_of import texts_of
from catalogue.identifying.forms import WATER
from catalogue.identifying.water import Water, weigh
from catalogue.models import Holding
from series.identifying.evidence import FIELDS, Evidence, EvidenceError, read_evidence
from series.identifying.looks import AT_HAND, TOOLS

_SESSION = "identify_tools"


@dataclass(frozen=True)
class Asked:
    """``texts`` as they were put in, also those that cannot be read; ``errors`` by field."""

    texts: Mapping[str, str]
    evidence: Evidence
    errors: Mapping[str, str]
    tools: tuple[str, ...]
    water: Water | None = None
    holding: Holding | None = None

    seen_version: str = ""

    @property
    def row_version(self) -> str:
        """The version of the holding when the page was opened, for finding a stale edit."""
        return self.seen_version or str(self.holding.row_version if self.holding else "")

    @property
    def address(self) -> str:
        """The part of an address after the question mark that says the same."""
        over = {"holding": str(self.holding.pk)} if self.holding else {}
        return urlencode({**self.texts, **over})


def read_address(request: HttpRequest, holding: Holding | None = None) -> Asked:
    """Read the address; where it holds no evidence at all, what is stored with ``holding``."""
    names = (*FIELDS, *WATER)
    texts = {name: request.GET.get(name, "").replace("\x00", "").strip() for name in names}
    texts = {name: text for name, text in texts.items() if text}
    if texts.get("water_how") and not texts.get("water"):
        del texts["water_how"]
    if holding is not None and not any(name in request.GET for name in names):
        texts = texts_of(holding)
    evidence, errors = _readable({name: texts[name] for name in FIELDS if name in texts})
    water, wrong = weigh(texts, evidence.mass)
    if water is not None and water.density is not None and evidence.density is None:
        evidence, _none = _readable(dict(evidence.texts) | water.as_evidence())
    seen = request.GET.get("row_version", "")
    return Asked(texts, evidence, errors | wrong, tools_of(request), water, holding, seen)


def _readable(texts: Mapping[str, str]) -> tuple[Evidence, dict[str, str]]:
    """What of the texts can be read, and what is wrong with the others."""
    errors: dict[str, str] = {}
    while True:
        try:
            return read_evidence(texts), errors
        except EvidenceError as error:
            errors |= error.errors
            texts = {name: text for name, text in texts.items() if name not in error.errors}


def tools_of(request: HttpRequest) -> tuple[str, ...]:
    """The tools at hand: those just ticked, else those ticked before, else the usual ones."""
    if "tools" in request.GET:
        ticked = [tool for tool in TOOLS if tool in request.GET.getlist("tools")]
        if request.session.get(_SESSION) != ticked:
            request.session[_SESSION] = ticked
        return tuple(ticked)
    before = request.session.get(_SESSION, AT_HAND)
    return tuple(tool for tool in TOOLS if tool in before)
