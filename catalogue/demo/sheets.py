"""What the demo writes: album pages, labels, a want list, and a talk with its hand-out."""

from __future__ import annotations

from dataclasses import asdict

from catalogue.models import Member, Talk, WantList
from catalogue.printing.album_sheets import draw_album
from catalogue.printing.label_contents import CONTENTS
from catalogue.printing.label_sheets import draw_labels
from catalogue.printing.sheets import silent
from catalogue.printing.stock import READY_MADE
from catalogue.printing.want_sheets import draw_wants
from catalogue.talks.handing_out.sheets import draw_handout
from catalogue.talks.own_file import talk_file
from series.models import Series


def album() -> bytes:
    """A series that is nearly complete, with its gaps."""
    series = Series.objects.get(key="halvern-first-marl")
    return draw_album(_owner(), {"series": series.key, "gaps": True})


def labels() -> bytes:
    """Labels with a QR code for what the first member holds of the same series."""
    series = Series.objects.get(key="halvern-first-marl")
    parameters = {
        "query": f"series={series.pk}",
        "stock": asdict(READY_MADE[0]),
        "lines": CONTENTS["full"],
        "code": True,
    }
    return draw_labels(_owner(), parameters)


def wants() -> bytes:
    owner = _owner()
    wanted = WantList.objects.filter(owner=owner).earliest("pk")
    return draw_wants(owner, {"list": wanted.pk})


def handout() -> bytes:
    """What listeners of the demo's talk take home."""
    talk = Talk.objects.filter(owner=_owner()).earliest("pk")
    return draw_handout(_owner(), {"talk": talk.pk})


def talk() -> bytes:
    """The talk of the first member in a file of its own."""
    return b"".join(talk_file(Talk.objects.filter(owner=_owner()).earliest("pk"), False, silent))


def _owner() -> Member:
    return Member.objects.get(username="marit")
