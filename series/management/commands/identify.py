"""Say which types of the records a piece may be, from what can be seen and measured."""

from __future__ import annotations

import json
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from series.identifying.answer import Answer, Candidate
from series.identifying.evidence import CHOICES, FIELDS, MEASURES, EvidenceError, read_evidence
from series.identifying.fetching import load_table
from series.identifying.looks import AT_HAND, TOOLS
from series.identifying.ranking import identify
from series.text.english import some_of

_HELP = {
    "legend": "what can be read of the legends, ? for each letter that cannot; pieces in any order",
    "denomination": "figures or words of the value",
    "year": "the date as it stands, in any script; ? for a figure that cannot be read",
    "calendar": "the calendar of the date, if known",
    "script": "the script of the legend, such as Latin or Arab",
    "motif": "what is shown; several parted by commas",
    "country": "which country it may be of: a name or code; several parted by commas",
    "sides": "how many sides, scallops or indentations",
}


class Command(BaseCommand):
    help = __doc__

    def add_arguments(self, parser: ArgumentParser) -> None:
        for name in FIELDS:
            parser.add_argument(f"--{name.replace('_', '-')}", dest=name, help=_help(name))
        parser.add_argument("--top", type=int, default=5, help="how many types to list")
        parser.add_argument(
            "--tools", default=",".join(AT_HAND), help=f"what is at hand, of: {', '.join(TOOLS)}"
        )
        parser.add_argument("--json", action="store_true", help="print JSON")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            evidence = read_evidence({name: options[name] or "" for name in FIELDS})
        except EvidenceError as error:
            lines = [f"--{name.replace('_', '-')}: {say}" for name, say in error.errors.items()]
            raise CommandError("\n".join(lines)) from error
        if not evidence.given:
            raise CommandError("Say at least one thing about the piece, such as --diameter 24.2.")
        if options["top"] < 1:
            raise CommandError("--top: write how many types to list, at least 1.")
        tools = [each.strip() for each in options["tools"].split(",") if each.strip()]
        if unknown := [each for each in tools if each not in TOOLS]:
            raise CommandError(f"--tools: {', '.join(unknown)}: choose from {', '.join(TOOLS)}.")
        table = load_table()
        if not len(table):
            raise CommandError("There are no types in the records: load a pack first (load_pack).")
        answer = identify(table, evidence, top=options["top"], tools=tools)
        if options["json"]:
            self.stdout.write(json.dumps(_as_json(answer), ensure_ascii=False, indent=2))
        else:
            self.stdout.write(_as_text(answer))


def _help(name: str) -> str:
    if name in MEASURES:
        return f"{MEASURES[name][0]} in {MEASURES[name][1]}"
    if name in CHOICES:
        return f"one of: {', '.join(CHOICES[name])}"
    if name.endswith("_within"):
        return "how finely it was read: half the width of the reading"
    return _HELP[name]


def _as_json(answer: Answer) -> dict[str, Any]:
    look = answer.next
    return {
        "candidates": [
            {
                "type": each.key,
                "label": each.label,
                "country": each.country,
                "denomination": each.denomination,
                "issues": [issue.label for issue in each.issues],
                "probability": round(each.probability, 6),
                "for": list(each.reasons_for),
                "against": list(each.reasons_against),
            }
            for each in answer.candidates
        ],
        "none_of_these": round(answer.none_of_these, 6),
        "next": {"look_at": look.look_at, "why": look.why} if look else None,
    }


def _as_text(answer: Answer) -> str:
    lines: list[str] = []
    for each in answer.candidates:
        lines.append(f"{each.probability:7.1%}  {each.label}, {each.country}  [{each.key}]")
        lines.append(f"         {_issues(each)}")
        lines += [f"         + {words}" for words in each.reasons_for]
        lines += [f"         − {words}" for words in each.reasons_against]
        lines += [f"         · {words}" for words in each.not_recorded]
    if answer.others >= 0.0005:
        lines.append(f"{answer.others:7.1%}  other types together")
    lines.append(f"{answer.none_of_these:7.1%}  none of these")
    if answer.next:
        why = f": {answer.next.why}" if answer.next.why else ""
        lines.append(f"Next: {answer.next.look_at}{why}.")
    return "\n".join(lines)


def _issues(candidate: Candidate) -> str:
    labels = [each.label for each in candidate.issues]
    return some_of(labels, 6) or "no issue recorded"
