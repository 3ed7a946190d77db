"""The base of every editable record: a row version, a bin, and what a pack last loaded."""

from __future__ import annotations

from typing import Any, ClassVar, Self

from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from series.entries.choices import Choice
from series.tracked import Tracked, TrackedManager, TrackedQuerySet

BIN_DAYS = 90


def worded(choice: type[Choice]) -> list[tuple[str, Any]]:
    """The values of a choice with their words, as a column of a model takes them."""
    return [(each.value, _(each.words)) for each in choice]


class StaleEdit(Exception):
    """The record was changed by someone else since it was read; ``current`` is what is stored."""

    def __init__(self, current: Record) -> None:
        super().__init__("the record was changed since it was read")
        self.current = current


class RecordQuerySet(TrackedQuerySet):
    def bin(self) -> int:
        """Put every record of the queryset into the bin; return how many."""
        return self.update(deleted_at=timezone.now())


class _LiveManager(models.Manager.from_queryset(RecordQuerySet)):  # type: ignore[misc]
    """Records that are not in the bin."""

    def get_queryset(self) -> RecordQuerySet:
        return super().get_queryset().filter(deleted_at__isnull=True)


def everything_of(model: type[models.Model]) -> models.Manager[Any]:
    """The manager of a model's rows with what is in the bin, by which every change is announced."""
    return model.everything if issubclass(model, Record) else model._default_manager


class Record(Tracked):
    """An editable record.

    ``objects`` leaves out what is in the bin, ``everything`` does not. ``row_version`` counts
    saves: :meth:`save_over` refuses an edit made on an older version.
    """

    row_version = models.PositiveIntegerField(default=1, editable=False)
    created_at = models.DateTimeField(auto_now_add=True)
    changed_at = models.DateTimeField(auto_now=True)
    # No index: nearly all rows have none, and SQLite would take the index for a narrow one.
    deleted_at = models.DateTimeField(null=True, blank=True, editable=False)

    objects: ClassVar[models.Manager[Any]] = _LiveManager()
    everything = TrackedManager()  # the first manager is the default one

    class Meta:
        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding and not kwargs.get("force_insert"):
            self.row_version += 1
            if kwargs.get("update_fields") is not None:
                kwargs["update_fields"] = {
                    *kwargs["update_fields"],
                    "row_version",
                    "changed_at",
                }
        super().save(*args, **kwargs)

    def save_over(self, seen_version: int) -> None:
        """Save, unless the stored row is no longer at ``seen_version``: then StaleEdit."""
        manager = type(self).everything
        with transaction.atomic():
            taken = manager.filter(pk=self.pk, row_version=seen_version).update(
                row_version=seen_version
            )
            if not taken:
                raise StaleEdit(manager.get(pk=self.pk))
            self.row_version = seen_version
            self.save()

    def bin(self) -> None:
        """Put the record into the bin, where it stays for BIN_DAYS days."""
        self.deleted_at = timezone.now()
        self.save(update_fields=["deleted_at"])

    def take_back(self) -> Self:
        """Take the record out of the bin."""
        self.deleted_at = None
        self.save(update_fields=["deleted_at"])
        return self


class PackedRecord(Record):
    """A record of the reference catalogue, which a pack may own and a curator may edit.

    ``loaded`` keeps the values the pack last gave, so that a later load can tell a curator's
    edit (current value differs from ``loaded``) from an unchanged one.
    """

    key = models.SlugField(_("key"), max_length=120, unique=True)
    pack = models.ForeignKey(
        "series.Pack", null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )
    loaded = models.JSONField(default=dict, blank=True, editable=False)
    withdrawn = models.BooleanField(
        _("no longer in its pack"),
        default=False,
        help_text=_("Its pack was loaded again without this record; holdings keep it."),
    )
    citations = models.JSONField(
        _("citations"),
        default=list,
        blank=True,
        help_text=_("A list of {source, where}: the source's key in the pack and the place in it."),
    )

    class Meta:
        abstract = True
