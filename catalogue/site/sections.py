"""Which of the main ways a page belongs to: the one that is marked on every page.

Most addresses tell by their first word. Those that do not are listed by name; one that is in
neither list, such as the front page or a form of the account, marks none.
"""

from __future__ import annotations

from django.http import HttpRequest

WORDS_OF_SECTIONS = {
    "countries": "countries currencies denominations series types mints people motifs curation",
    "holdings": "holdings places bin papers photos showings talks changes imports columns",
    "identify": "identify",
    "wants": "wants aims lists",
    "worth": "worth schedules",
    "sheets": "sheets",
    "club": "club",
}
BY_WORD = {word: section for section, words in WORDS_OF_SECTIONS.items() for word in words.split()}
BY_NAME = {
    "account": "account",
    "date-run": "holdings",
    "type-from-holding": "countries",
    # These pages say that a sheet cannot be drawn, or is long.
    "schedule-file": "sheets",
    "shared-list-sheet": "sheets",
    "wants-sheet": "sheets",
}


def section(request: HttpRequest) -> dict[str, str]:
    """For every page: ``section``, or "" where the address belongs to none or is no page."""
    match = request.resolver_match
    if match is None:
        return {"section": ""}
    word = match.route.partition("/")[0]
    return {"section": BY_NAME.get(match.url_name or "", BY_WORD.get(word, ""))}
