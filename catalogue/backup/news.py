"""What whoever keeps the site is told of its backups on the front page."""

from __future__ import annotations

from django.utils import formats
from django.utils.translation import gettext as _

from catalogue import access
from catalogue.backup import shelf
from catalogue.members.requests import Viewer


def news_for(viewer: Viewer) -> str:
    """A sentence for an administrator when the newest good backup is too old; "" else."""
    if not access.is_administrator(viewer) or not shelf.is_old():
        return ""
    cure = _("Run manage.py backup FILE, or set EXERGUE_BACKUP_EVERY and it is done regularly.")
    newest = shelf.newest_good()
    if newest is None:
        return f"{_('There is no backup of this site.')} {cure}"
    day = formats.date_format(newest.made_at, "j F Y")
    return f"{_('The newest backup of this site is of %(day)s.') % {'day': day}} {cure}"
