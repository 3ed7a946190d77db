"""The pictures and papers of an archive, opened apart before anything of it is written.

Only those of pieces that are new are looked at. Opening takes long, so that it never happens while
a transaction is open; what is stored and then named by no record is cleared away as always.
"""

from __future__ import annotations

import hashlib
import re
import tempfile
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import IO, Any

from django.conf import settings
from django.core.files.base import File
from django.core.files.storage import default_storage
from django.utils.text import get_valid_filename
from django.utils.translation import gettext as _

from catalogue.exports.opening import Opened
from catalogue.holdings.papers.receipts import LIMIT_BYTES, ReceiptRefused, content_type_of
from catalogue.members.coming_back import Follows, LeftOut
from catalogue.members.models import Member
from catalogue.models import Holding
from series.picture.pictures import Kept, PictureRefused, patiently, prepare_kept, put_file

_PHOTO = re.compile(r"photographs/.*-(\d{1,18})\.webp", re.ASCII)
_PART = 1 << 20
Tell = Callable[[int, int], None]


@dataclass(frozen=True)
class Paper:
    """A paper that may be kept: its content type, the name of its file, its size in bytes."""

    kind: str
    file: str
    size: int


@dataclass
class Decoded:
    """What came of each picture and paper, by the number of its row; else why it is left out."""

    photos: dict[int, Kept | str] = field(default_factory=dict)
    receipts: dict[int, Paper | str] = field(default_factory=dict)

    def photo(self, row: Mapping[str, Any]) -> Kept:
        found = self.photos.get(row["id"])
        if not isinstance(found, Kept):
            raise LeftOut(found) if found else Follows
        return found

    def receipt(self, row: Mapping[str, Any]) -> Paper:
        found = self.receipts.get(row["id"])
        if not isinstance(found, Paper):
            raise LeftOut(found) if found else Follows
        return found


def numbers_in_use(member: Member) -> set[str]:
    """The accession numbers of the member's pieces, with what lies in the bin."""
    held = Holding.everything.filter(owner=member)
    return set(held.values_list("accession", flat=True))


def decode(opened: Opened, member: Member, tell: Tell, *, keep: bool) -> Decoded:
    """Open every picture and paper of the pieces that are new; ``keep``: store them too."""
    taken = numbers_in_use(member)
    new = {row["id"] for row in opened.rows("holdings") if str(row.get("accession")) not in taken}
    found = Decoded()
    photos = list(_of(new, opened.rows("photographs")))
    receipts = list(_of(new, opened.rows("receipts")))
    total = len(photos) + len(receipts)
    photo_names = {
        int(match[1]): name for name in opened.names if (match := _PHOTO.fullmatch(name))
    }
    papers = [name for name in opened.names if name.startswith("receipts/")]
    for done, row in enumerate((*photos, *receipts), 1):
        try:
            if done <= len(photos):
                found.photos[row["id"]] = _photo(opened, photo_names.get(row["id"]), keep)
            else:
                found.receipts[row["id"]] = _paper(opened, _paper_name(row, papers), keep)
        except LeftOut as why:
            of = found.photos if done <= len(photos) else found.receipts
            of[row["id"]] = str(why)  # type: ignore[index]
        tell(done, total)
    return found


def _of(new: set[int], rows: Iterable[dict[str, Any]]) -> Iterator[dict[str, Any]]:
    for row in rows:
        holding = row.get("holding_id")
        if type(holding) is int and holding in new:
            yield {"id": row["id"], "name": str(row.get("name", ""))}


def _photo(opened: Opened, name: str | None, keep: bool) -> Kept:
    data = opened.file(name)
    try:
        prepared = patiently(lambda: prepare_kept(data))
    except PictureRefused as error:
        raise LeftOut(str(error)) from error
    return prepared.keep() if keep else Kept(prepared.digest, prepared.width, prepared.height)


def _paper_name(row: Mapping[str, Any], papers: Iterable[str]) -> str | None:
    ending = "-" + get_valid_filename(f"{row['id']}-{row['name']}")
    return next((name for name in papers if name.endswith(ending)), None)


def _paper(opened: Opened, name: str | None, keep: bool) -> Paper:
    data = opened.file(name)
    if len(data) > LIMIT_BYTES:
        raise LeftOut(_("the paper is too large."))
    try:
        kind, _ending = patiently(lambda: content_type_of(data))
    except ReceiptRefused as error:
        raise LeftOut(str(error)) from error
    file = f"receipts/{hashlib.sha256(data).hexdigest()}"
    if keep:
        put_file(file, data)
    return Paper(kind, file, len(data))


def keep_by_digest(file: IO[bytes], ending: str, *, keep: bool) -> tuple[str, str]:
    """Store a list under its digest, so that the same one has the same name; name and digest."""
    digest = hashlib.sha256()
    with tempfile.TemporaryFile(dir=settings.FILE_UPLOAD_TEMP_DIR) as copy:
        try:
            while part := file.read(_PART):
                digest.update(part)
                copy.write(part)
        except Exception as error:
            raise LeftOut(_("its file is damaged in the archive.")) from error
        usual = ending if ending[1:].isalnum() and len(ending) <= 8 else ""
        name = f"lists/{digest.hexdigest()}{usual.lower()}"
        if keep and not default_storage.exists(name):
            copy.seek(0)
            default_storage.save(name, File(copy))
    return name, digest.hexdigest()
