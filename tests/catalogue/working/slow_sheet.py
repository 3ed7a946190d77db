"""A sheet that is never done the first time and at once the second time."""

from __future__ import annotations

import signal
import threading
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage

from catalogue.printing.responses import SheetPage


def draw_slowly(owner: Any, parameters: Any, tell: Any) -> bytes:
    begun = Path(settings.VAR_DIR) / "begun"
    if not begun.exists():
        begun.touch()
        tell(1, 2)
        default_storage.save("sheets/half.pdf.unfinished", ContentFile(b"%PDF half"))
        print("it is being drawn", flush=True)
        if parameters.get("told to end"):
            for _ in range(2):  # once means: when this sheet is done
                signal.raise_signal(signal.SIGTERM)
        threading.Event().wait()
    print("it is drawn", flush=True)
    return b"%PDF whole"


class SlowPage(SheetPage):
    kind = "slow"
    name = "slow-sheet"
    route = "sheets/slow/"
    draw = staticmethod(draw_slowly)


def ask_slowly() -> None:
    """A member and their sheet, in the database of a process of its own."""
    from catalogue.models import Member
    from catalogue.printing.tasks import ask_for

    ask_for(Member.objects.create_user("ana"), "slow", "Slow", {}, 2)
