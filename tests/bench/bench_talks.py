"""The plan of a talk of 200 stops against the list of the holdings, in one run.

Run ``python -m tests.bench talks`` (``--stops N``, ``--rounds N``). It makes a database of its own
in a temporary folder: the invented coins of Halvern, a member who holds each struck date several
times, and a talk of as many stops, drafted. The plan page and the holdings list are then asked in
turn through ``django.test.Client``, end to end, and the 95th percentile of each is compared; as is
the plan right after a record has changed, when all that is drafted is held against it anew. The
time to draft all notes is measured too, the saving included.
"""

from __future__ import annotations

import argparse
import os
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

_FOLDER = tempfile.TemporaryDirectory()
os.environ["EXERGUE_VAR"] = _FOLDER.name
os.environ["DATABASE_URL"] = ""
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import django  # noqa: E402

django.setup()

from django.conf import settings  # noqa: E402
from django.core.management import call_command  # noqa: E402
from django.test import Client  # noqa: E402

from catalogue.holdings.actions import derive  # noqa: E402
from catalogue.holdings.changes import note_everything  # noqa: E402
from catalogue.models import Holding, Member, Stop, Talk  # noqa: E402
from catalogue.talks.changing import put_in  # noqa: E402
from catalogue.talks.drafting import draft  # noqa: E402
from catalogue.talks.proposing import lines_of, stops_for  # noqa: E402
from series.models import CoinType, Issue  # noqa: E402
from series.packs.load import load_pack  # noqa: E402
from tests.bench.goals import Goal, tell  # noqa: E402
from tests.bench.tables import lay_tables  # noqa: E402

GOALS = {
    "plan": Goal("the plan of 200 stops, p95, times the list's", "the holdings list", at_most=3),
    "again": Goal("the plan after a change, once, times", "the holdings list", at_most=15),
    "draft": Goal("drafting all notes of 200 stops, in s of a processor", at_most=1),
}
BACKEND = "django.contrib.auth.backends.ModelBackend"


def collection(owner: Member, times: int) -> None:
    """Each struck date of Halvern, several times over."""
    load_pack(Path(settings.BASE_DIR) / "fixtures" / "packs" / "halvern")
    struck = Issue.objects.filter(fact=Issue.Fact.STRUCK).select_related("coin_type").order_by("pk")
    held = []
    for number, issue in enumerate([*struck] * times):
        piece = Holding(
            owner=owner,
            accession=f"2026.{number:05}",
            coin_type=issue.coin_type,
            issue=issue,
            grade=("F", "VF", "EF")[number % 3],
        )
        derive(piece)
        held.append(piece)
    Holding.objects.bulk_create(held)
    note_everything()


def a_talk(owner: Member, stops: int) -> Talk:
    made = Talk.objects.create(owner=owner, title="Halvern", minutes=45)
    lines = lines_of(owner, "", "dates")[: stops - 3]
    put_in(made, stops_for(lines, "ladder", with_openings=True))
    return made


def taken(work: Callable[[], object]) -> float:
    begun = time.perf_counter()
    work()
    return time.perf_counter() - begun


def p95(times: list[float]) -> float:
    return statistics.quantiles(times, n=20)[-1] if len(times) > 1 else times[0]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--stops", type=int, default=200)
    parser.add_argument("--rounds", type=int, default=40)
    parser.add_argument("--tiny", action="store_true")
    args = parser.parse_args()
    stops, rounds, times = (12, 2, 1) if args.tiny else (args.stops, args.rounds, 8)
    lay_tables(_FOLDER.name)
    call_command("migrate", verbosity=0)
    owner = Member.objects.create_user("ada", "a good long password", name="Ada")
    collection(owner, times)
    talk = a_talk(owner, stops)
    drafting = []
    for _ in range(1 if args.tiny else 3):
        Stop.objects.filter(talk=talk).update(notes="", drafted=[])
        begun = time.process_time()
        draft(talk)
        drafting.append(time.process_time() - begun)
    client = Client(HTTP_HOST="127.0.0.1")
    client.force_login(owner, backend=BACKEND)
    plan, listed = f"/talks/{talk.pk}/", "/holdings/?view=list"
    for address in (plan, listed):
        assert client.get(address).status_code == 200
    asked: dict[str, list[float]] = {plan: [], listed: []}
    for _ in range(rounds):
        for address, found in asked.items():
            found.append(taken(lambda address=address: client.get(address)))  # type: ignore[misc]
    CoinType.objects.filter(key="halvern-provisional-1-tinne").update(note="Changed.")
    Talk.objects.get(pk=talk.pk).save()
    again = taken(lambda: client.get(plan))
    peer = p95(asked[listed])
    plan95 = p95(asked[plan])
    print(f"{talk.stops.count()} stops; p95: plan {plan95:.3f} s, list {peer:.3f} s")
    tell(
        GOALS,
        {"plan": p95(asked[plan]) / peer, "again": again / peer, "draft": min(drafting)},
    )


if __name__ == "__main__":
    main()
