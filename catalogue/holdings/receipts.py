"""Papers of holdings: checked by their content, stored by digest."""

from __future__ import annotations

import hashlib
import io
import warnings
from typing import IO

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import transaction
from django.utils.text import get_valid_filename
from django.utils.translation import gettext as _
from PIL import Image

from catalogue.models import Holding, Receipt
from catalogue.site.stored_files import delete_unnamed, named_by

LIMIT_BYTES = 10 * 1024 * 1024
_PICTURES = {"JPEG": ("image/jpeg", "jpg"), "PNG": ("image/png", "png")} | {
    "WEBP": ("image/webp", "webp")
}


class ReceiptRefused(ValueError):
    """The file is no paper we keep; the message says what to do."""


def content_type_of(data: bytes) -> tuple[str, str]:
    """Content type and ending of a PDF, JPEG, PNG or WebP, by its content; ReceiptRefused else."""
    if data.startswith(b"%PDF-"):
        return "application/pdf", "pdf"
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(data), formats=list(_PICTURES)) as image:
                kind = _PICTURES[str(image.format)]
                image.verify()
    except Exception as error:  # whatever a broken picture makes the decoder raise
        raise ReceiptRefused(
            _("This is no paper that can be kept. Add a PDF, JPEG, PNG or WebP file.")
        ) from error
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
    if not default_storage.exists(stored):
        default_storage.save(stored, ContentFile(data))
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
    return f"{get_valid_filename(stem)[:150] or 'paper'}.{ending}"


def remove_receipt(receipt: Receipt) -> None:
    """Remove a paper for good, with its file unless another record names it."""
    named = named_by([receipt])
    with transaction.atomic():
        receipt.delete()
        transaction.on_commit(lambda: delete_unnamed(named))
