"""Reference packs: what was loaded from a folder of text files, and its sources."""

from __future__ import annotations

from django.db import models
from django.utils.translation import gettext_lazy as _


class Pack(models.Model):
    """A folder of reference records that was loaded; its key is the stable name of the pack."""

    key = models.SlugField(_("key"), max_length=60, unique=True)
    title = models.CharField(_("title"), max_length=200)
    version = models.CharField(_("version"), max_length=40, blank=True)
    licence = models.CharField(_("licence"), max_length=80, blank=True)
    about = models.TextField(_("about"), blank=True)
    needs = models.SlugField(_("needs the pack"), max_length=60, blank=True)
    loaded_at = models.DateTimeField(auto_now=True)

    def __str__(self) -> str:
        return self.title


class Source(models.Model):
    """A work, statute or table that records of the reference catalogue cite.

    ``unchecked``: it is somebody's memory, or what no source that was seen says.
    """

    key = models.SlugField(_("key"), max_length=120, unique=True)
    pack = models.ForeignKey(Pack, null=True, blank=True, on_delete=models.SET_NULL)
    title = models.CharField(_("title"), max_length=300)
    publisher = models.CharField(_("publisher"), max_length=200, blank=True)
    published = models.CharField(_("published"), max_length=40, blank=True)
    url = models.URLField(_("address"), blank=True)
    note = models.TextField(_("note"), blank=True)
    unchecked = models.BooleanField(_("from memory, unchecked"), default=False)

    def __str__(self) -> str:
        return self.title
