"""Two hundred kills in the middle of each deed of a member: never half of one, nothing wrong.

Run ``python -m tests.bench kills``; ``--deeds 200`` says how many of each. Where each is killed is
drawn by lot from a seed. It is done on SQLite, in copies of one small site (``tests/faults``).
"""

from __future__ import annotations

import argparse
import random
import sys
import tempfile
from pathlib import Path

from tests.bench.goals import Goal, tell
from tests.faults.deeds import DEEDS
from tests.faults.sites import Site
from tests.served import manage

GOALS = {
    "half": Goal("deeds of which half was there after a kill", at_most=0),
    "wrong": Goal("sites with a record or file that is wrong after a kill", at_most=0),
}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--deeds", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--tiny", action="store_true", help="only show that it runs")
    given = parser.parse_args()
    deeds = list(DEEDS)[:1] if given.tiny else list(DEEDS)
    half = wrong = 0
    with tempfile.TemporaryDirectory() as folder:
        site = Site(Path(folder) / "prepared")
        site.var.mkdir()
        assert manage(site.var, "migrate", "-v0").returncode == 0
        site.prepare()
        before = site.look()
        for deed in deeds:
            with site.copy(Path(folder) / f"whole-{deed}") as whole:
                after = whole.look(deed)
            draw = random.Random(f"{given.seed} {deed}")
            for number in range(1 if given.tiny else given.deeds):
                step = draw.randint(1, after.steps)
                with site.copy(Path(folder) / f"{deed}-{number}") as killed:
                    killed.kill(deed, step)
                    found = killed.look()
                if found.records not in (before.records, after.records):
                    half += 1
                    print(f"{deed}: half of it after a kill at step {step}", file=sys.stderr)
                if found.wrong:
                    wrong += 1
                    print(f"{deed}, step {step}: {found.wrong[0]}", file=sys.stderr)
    tell(GOALS, {"half": float(half), "wrong": float(wrong)})


if __name__ == "__main__":
    main()
