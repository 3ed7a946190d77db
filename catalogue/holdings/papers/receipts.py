"""Papers of holdings: checked by their content, stored by digest."""

from __future__ import annotations

import hashlib
import re
from typing import IO

from django.core.exceptions import SuspiciousFileOperation
from django.db import transaction
from django.utils.text import get_valid_filename
from django.utils.translation import gettext as _

from catalogue.models import Holding, Receipt
from catalogue.site.stored_files import delete_unnamed, named_by
from series.picture.pictures import PictureRefused, check_picture, put_file

LIMIT_BYTES = 10 * 1024 * 1024
# How such files begin: ISO/IEC 10918-1, ISO/IEC 15948, RFC 9649.
_PICTURES = (
    (rb"\xff\xd8\xff", ("image/jpeg", "jpg")),
    (rb"\x89PNG\r\n\x1a\n", ("image/png", "png")),
    (rb"RIFF....WEBP", ("image/webp", "webp")),
)


class ReceiptRefused(ValueError):
    """The file is no paper we keep; the message says what to do."""


def content_type_of(data: bytes) -> tuple[str, str]:
    """Content type and ending of a PDF, JPEG, PNG or WebP, by its content; ReceiptRefused else."""
    if data.startswith(b"%PDF-"):
        return "application/pdf", "pdf"
    kind = next((kind for start, kind in _PICTURES if re.match(start, data, re.DOTALL)), None)
    if kind is None:
        raise ReceiptRefused(
            _("This is no paper that can be kept. Add a PDF, JPEG, PNG or WebP file.")
        )
    try:
        check_picture(data)
    except PictureRefused as refused:
        raise ReceiptRefused(
            _("This is no paper that can be kept. %(why)s") % {"why": refused}
        ) from refused
    return kind


def add_receipt(holding: Holding, file: IO[bytes], name: str) -> Receipt:
    """Keep a paper of a holding; the file is stored before the row that names it."""
    data = file.read(LIMIT_BYTES + 1)
    if len(data) > LIMIT_BYTES:
        raise ReceiptRefused(
            _("The file is larger than %(n)d MB. Save it smaller and add it again.")
            % {"n": LIMIT_BYTES // 1024 // 1024}
        )
    content_type, ending = content_type_of(data)
    stored = f"receipts/{hashlib.sha256(data).hexdigest()}"
    put_file(stored, data)
    return Receipt.objects.create(
        holding=holding,
        name=_fit_name(name, ending),
        file=stored,
        content_type=content_type,
        size=len(data),
    )


def _fit_name(name: str, ending: str) -> str:
    """A name for the download whose ending is that of the content."""
    stem = name.rsplit(".", 1)[0].strip().strip(".") or "paper"
    try:
        fit = get_valid_filename(stem)[:150]
    except SuspiciousFileOperation:  # nothing is left of it that a file can be called
        fit = "paper"
    return f"{fit}.{ending}"


def remove_receipt(receipt: Receipt) -> None:
    """Remove a paper for good, with its file unless another record names it."""
    named = named_by([receipt])
    with transaction.atomic():
        receipt.delete()
        transaction.on_commit(lambda: delete_unnamed(named))
