"""A talk of 200 stops: when the next stop is painted, and what its own file takes to write.

Run ``python -m tests.bench talk`` where Chromium is installed. It makes a database of its own with
200 pieces, each with both faces photographed 1200 pixels wide, opens the wall in headless Chromium
at 1920 × 1080 and steps through it by the key Page Down once all is fetched. How long a step takes
is told by the browser itself: how long it took from the key until the next paint was on the screen
(W3C Event Timing), and how many frames it began in that time (requestAnimationFrame). A busy
machine makes frames longer, but not more of them. A step that takes less than the 16 ms of which
Event Timing tells counts as one frame.

The file of its own is written for 200 stops and for 50; its memory is what Python holds at most
(tracemalloc; what the picture library holds comes and goes with each picture), which must not grow
with the stops. Most of it is taken while the fonts are cut.
"""

from __future__ import annotations

import argparse
import os
import statistics
import sys
import tempfile
import threading
import tracemalloc
from pathlib import Path
from socketserver import ThreadingMixIn
from typing import Any
from wsgiref.simple_server import WSGIRequestHandler, WSGIServer, make_server

_FOLDER = tempfile.TemporaryDirectory()
os.environ["EXERGUE_VAR"] = _FOLDER.name
os.environ["DATABASE_URL"] = ""
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import django  # noqa: E402

django.setup()

import numpy as np  # noqa: E402
from django.conf import settings  # noqa: E402
from django.core.management import call_command  # noqa: E402
from django.core.wsgi import get_wsgi_application  # noqa: E402
from django.test import Client  # noqa: E402
from PIL import Image, ImageDraw  # noqa: E402
from playwright.sync_api import sync_playwright  # noqa: E402

from catalogue.models import Holding, Member, Photo, Stop, Talk  # noqa: E402
from catalogue.printing.sheets import silent  # noqa: E402
from catalogue.site.whole_files import write_whole  # noqa: E402
from catalogue.talks import own_file  # noqa: E402
from catalogue.talks.own_file import MOST_BYTES, talk_file  # noqa: E402
from series.picture.pictures import keep_image  # noqa: E402
from tests.bench.goals import Goal, tell  # noqa: E402
from tests.bench.tables import lay_tables  # noqa: E402
from tests.chromium import CHROMIUM, FLAGS  # noqa: E402
from tests.conftest import make_coinage  # noqa: E402

GOALS = {
    "frames": Goal("frames from the key until the next stop is painted, median", at_most=2),
    "within": Goal("steps painted within two frames, share", at_least=0.95),
    "size": Goal("the file of 200 stops, times 25 MB", at_most=1),
    "memory": Goal("memory to write 200 stops, times that for 50", "50 stops", at_most=1.5),
}
PIECES, FEWER, PX = 200, 50, 1200
DIGESTS = 20
"""So many pictures are stored, each under the addresses of many photographs."""
BACKEND = "django.contrib.auth.backends.ModelBackend"

WATCH = """() => {
  window.begun = [];
  const count = (now) => { window.begun.push(now); requestAnimationFrame(count); };
  requestAnimationFrame(count);
  window.told = [];
  const watcher = new PerformanceObserver((list) => window.told.push(...list.getEntries()));
  watcher.observe({ type: "event", durationThreshold: 16 });
}"""
TAKEN = """() => {
  const keys = window.told.filter((entry) => entry.name === "keydown");
  window.told = [];
  return keys.map((key) => {
    const painted = key.startTime + key.duration;
    const frames = window.begun.filter((frame) => frame > key.startTime && frame <= painted);
    return [frames.length, key.duration];
  });
}"""


class _Server(ThreadingMixIn, WSGIServer):
    daemon_threads = True


class _Quiet(WSGIRequestHandler):
    def log_message(self, *_args: Any) -> None:
        pass


def photograph(n: int) -> str:
    """The digest of a struck-looking disc with the grain of a photograph."""
    dice = np.random.default_rng(n)
    grain = dice.normal(0, 5, (PX, PX, 1)) + np.array([150 + n % 40, 130, 95 + n % 30])
    cover = Image.new("L", (PX, PX))
    ImageDraw.Draw(cover).ellipse((0, 0, PX - 1, PX - 1), fill=255)
    image = Image.fromarray(np.clip(grain, 0, 255).astype(np.uint8)).convert("RGBA")
    image.putalpha(cover)
    ImageDraw.Draw(image).text((PX / 3, PX / 3), str(n), fill=(40, 30, 20), font_size=PX / 4)
    return keep_image(image).digest


def make_talk(pieces: int) -> Talk:
    owner = Member.objects.create_user("ana", "a good long password")
    coinage = make_coinage()
    talk = Talk.objects.create(owner=owner, title="A long talk")
    digests = [photograph(n) for n in range(min(DIGESTS, pieces))]
    for n in range(pieces):
        held = Holding.objects.create(
            owner=owner, accession=f"A.{n:03}", coin_type=coinage.type, issue=coinage.issues[n % 3]
        )
        for at, side in enumerate(("obverse", "reverse")):
            digest = digests[(2 * n + at) % len(digests)]
            Photo.objects.create(
                holding=held, side=side, digest=digest, width=PX, height=PX, trimmed=True
            )
        Stop.objects.create(talk=talk, position=n, kind="piece", holding=held)
    return talk


def frames(talk: Talk, steps: int) -> list[tuple[int, float]]:
    """For each step the frames, and ms, from the key until all of the next stop is painted."""
    server = make_server("127.0.0.1", 0, get_wsgi_application(), _Server, _Quiet)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    address = f"http://127.0.0.1:{server.server_port}"
    client = Client()
    client.force_login(talk.owner, backend=BACKEND)
    name = settings.SESSION_COOKIE_NAME
    try:
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS))
            context = browser.new_context(viewport={"width": 1920, "height": 1080})
            cookie = {"name": name, "value": client.cookies[name].value, "url": address}
            context.add_cookies([cookie])
            page = context.new_page()
            page.set_default_timeout(600_000)
            page.goto(f"{address}/talks/{talk.pk}/wall/")
            page.wait_for_selector("html[data-state=ready]")
            page.evaluate(WATCH)
            page.wait_for_timeout(1000)
            taken: list[tuple[int, float]] = []
            for _step in range(steps):
                page.keyboard.press("PageDown")
                page.wait_for_timeout(400)  # a speaker stays longer
                taken += [tuple(key) for key in page.evaluate(TAKEN)] or [(1, 16.0)]
            browser.close()
    finally:
        server.shutdown()
    return taken


def written(talk: Talk) -> tuple[int, int]:
    """The size of the file, and the most that was held while it was written, in bytes."""
    out = Path(_FOLDER.name) / "talk.html"
    own_file._cut.cache_clear()  # the fonts are cut anew each time
    tracemalloc.start()
    write_whole(out, talk_file(talk, False, silent))
    _now, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    return out.stat().st_size, most


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("--tiny", action="store_true", help="four stops")
    given = asked.parse_args()
    pieces, fewer, steps = (4, 2, 2) if given.tiny else (PIECES, FEWER, 60)
    lay_tables(_FOLDER.name)
    call_command("migrate", verbosity=0)
    talk = make_talk(pieces)
    taken = frames(talk, steps)
    counted = sorted(count for count, _ms in taken)
    within = sum(count <= 2 for count in counted) / len(counted)
    print(
        f"frames: median {statistics.median(counted)}, at most {counted[-1]}, "
        f"{within:.0%} of steps within two; median "
        f"{statistics.median(ms for _count, ms in taken):.0f} ms"
    )
    size, held = written(talk)
    print(f"{pieces} stops: {size / 1e6:.1f} MB, {held / 1e6:.1f} MB held")
    talk.stops.filter(position__gte=fewer).delete()
    less, held_less = written(talk)
    print(f"{fewer} stops: {less / 1e6:.1f} MB, {held_less / 1e6:.1f} MB held")
    figures = {
        "frames": statistics.median(counted),
        "within": within,
        "size": size / MOST_BYTES,
        "memory": held / held_less,
    }
    tell(GOALS, figures)


if __name__ == "__main__":
    main()
