"""A short list of the invented coinage, brought by a member as the page or a command does."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Sequence
from typing import Any

from PIL import Image

from catalogue.importing import tasks
from catalogue.importing.keeping import bring
from catalogue.models import ImportedList, ImportedRow, Member

HEADINGS = ("Country", "Value", "Year", "Grade", "Quantity", "Number", "Place", "Ticket")


def listed(*rows: Sequence[str], headings: Sequence[str] = HEADINGS) -> bytes:
    """A file of these rows, with semicolons between the cells."""
    return "\n".join(";".join(row) for row in (headings, *rows)).encode() + b"\n"


def row(year: str = "1931", value: str = "25 tinne", **more: str) -> tuple[str, ...]:
    """A row of HEADINGS; ``more`` by the name of the heading in small letters."""
    said = {"country": "Testland", "value": value, "year": year, "grade": "VF", "quantity": "1"}
    said |= more
    return tuple(said.get(heading.lower(), "") for heading in HEADINGS)


def bring_in(
    member: Member, data: bytes, name: str = "my list.csv", pictures: bytes | None = None
) -> ImportedList:
    """A list up to its rehearsal."""
    zipped = io.BytesIO(pictures) if pictures else None
    brought = bring(member, io.BytesIO(data), name, zipped)
    tasks.read_rows(brought)
    brought.refresh_from_db()
    return brought


def taken_in(member: Member, data: bytes, **more: Any) -> ImportedList:
    """A list that is in."""
    brought = bring_in(member, data, **more)
    tasks.take_in(brought)
    brought.refresh_from_db()
    return brought


def outcomes(brought: ImportedList) -> list[str]:
    rows = ImportedRow.objects.filter(of=brought).order_by("line")
    return list(rows.values_list("outcome", flat=True))


def picture(colour: str = "#a08050") -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (30, 30), colour).save(out, "PNG")
    return out.getvalue()


def zipped(**files: bytes) -> bytes:
    """An archive; two underscores in a name stand for a dot."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(name.replace("__", "."), data)
    return out.getvalue()
