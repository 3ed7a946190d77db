"""How long it takes to draft what is said at 200 stops of a talk.

Run ``python -m tests.bench telling``. The shipped packs are loaded into a database made for the
run; 200 stops with a date each go through their types, those of one denomination one after the
other. Measured is the time of the processor from the records to the sentences, and how much
of it the sentences alone take. The second is the stated goal of a plan that redrafts all its notes.
"""

from __future__ import annotations

import argparse
import os
import statistics
import tempfile
import time
from collections.abc import Callable
from itertools import cycle, islice

from tables import lay_tables

from tests.bench.goals import Goal, tell

GOALS = {
    "drafted": Goal("s until 200 stops are drafted, from the records on", at_most=1.0),
    "queries": Goal("queries for the stories of 200 stops", at_most=16),
}
STOPS, ROUNDS = 200, 5


def timed(work: Callable[[], object]) -> float:
    began = time.process_time()
    work()
    return time.process_time() - began


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--tiny", action="store_true")
    rounds = 1 if parser.parse_args().tiny else ROUNDS
    with tempfile.TemporaryDirectory() as folder:
        os.environ["EXERGUE_VAR"] = folder
        os.environ.pop("DATABASE_URL", None)
        os.environ["DJANGO_SETTINGS_MODULE"] = "catalogue.settings"
        import django

        django.setup()
        lay_tables(folder)
        measure(rounds)


def measure(rounds: int) -> None:
    from django.core.management import call_command
    from django.db import connection
    from django.test.utils import CaptureQueriesContext
    from shipped_types import NAMES, PACKS

    from series.models import CoinType
    from series.packs.load import load_pack
    from series.telling.story import PieceTold
    from series.telling.talk import tell as tell_talk
    from series.types.telling_facts import Shown, stories

    call_command("migrate", verbosity=0)
    for name in NAMES:
        load_pack(PACKS / name)
    types = CoinType.objects.order_by("denomination", "first_year").prefetch_related("issues")
    some = [(t.pk, t.issues.all()[0].pk) for t in types if t.issues.all()]
    piece = PieceTold("very fine", 32, ("cleaned",), worth="about 12 euro")
    shown = [Shown(*pair, piece) for pair in islice(cycle(some), STOPS)]
    with CaptureQueriesContext(connection) as seen:
        told = stories(shown)
    whole = [timed(lambda: tell_talk(stories(shown), True)) for _ in range(rounds)]
    alone = [timed(lambda: tell_talk(told, True)) for _ in range(rounds)]
    said = sum(len(at.sentences) for at in tell_talk(told, True))
    print(f"{STOPS} stops, {said} sentences: {statistics.median(whole):.3f} s, "
          f"the sentences alone {statistics.median(alone):.3f} s")  # fmt: skip
    tell(GOALS, {"drafted": statistics.median(whole), "queries": len(seen)})
    connection.close()


if __name__ == "__main__":
    main()
