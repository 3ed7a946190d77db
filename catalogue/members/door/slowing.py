"""What may not be tried quickly: each try is taken before it is looked at, and waits grow.

Nobody is locked out for good and nothing waits here: who comes too early is told how long.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import timedelta

from django.utils import timezone
from django.utils.crypto import salted_hmac
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from catalogue.members.door.models import Tally
from catalogue.members.door.waits import wait_after

FORGOTTEN_AFTER = timedelta(days=1)
AT_ONCE = 20  # tries of the same moment that are looked at one after another
MINUTE, HOUR = 60, 60 * 60


@dataclass(frozen=True)
class Limit:
    """So many tries are free, then the wait doubles; all in seconds."""

    what: str
    free: int
    first: int
    longest: int


# Passwords for a name on devices that its member has not used: 104 a day at the most.
NAME = Limit("name", free=5, first=30, longest=15 * MINUTE)
# Passwords on a device that the member has used.
DEVICE = Limit("device", free=10, first=MINUTE, longest=15 * MINUTE)
# Codes of the second factor, for a member on one device, or on all unknown ones together.
CODE = Limit("code", free=5, first=30, longest=15 * MINUTE)
# The own password, asked again of somebody signed in.
OWN_PASSWORD = Limit("own password", free=10, first=MINUTE, longest=15 * MINUTE)
# Asking for a link by mail: from a network address, for an e-mail address, to a member.
ASKED_FROM = Limit("asked from", free=5, first=5 * MINUTE, longest=HOUR)
ASKED_FOR = Limit("asked for", free=3, first=10 * MINUTE, longest=6 * HOUR)
LINKS_TO = Limit("links to", free=1, first=10 * MINUTE, longest=6 * HOUR)
# Mails that tell a member of their sign-in; the front page tells all the same.
NOTICES_TO = Limit("notices to", free=5, first=HOUR, longest=24 * HOUR)


class HeldBack(Exception):
    """It was tried too often; ``left`` is how long to wait."""

    def __init__(self, left: timedelta) -> None:
        super().__init__(left)
        self.left = left

    @property
    def seconds(self) -> int:
        return max(1, math.ceil(self.left.total_seconds()))


def take(limit: Limit, whom: object) -> int:
    """Take one try, before it is known whether it is right: which it is; raises HeldBack.

    Of tries at the same moment each is counted, on every server of the site.
    """
    key = _key(limit, whom)
    for _once in range(AT_ONCE):
        first = timezone.now()
        kept, _made = Tally.objects.get_or_create(
            key=key, defaults={"tried_at": first, "free_at": first}
        )
        now = timezone.now()
        left = kept.free_at - now
        if timedelta(0) < left < 2 * timedelta(seconds=limit.longest):  # more: the clock was wrong
            raise HeldBack(left)
        tries = 1 + (kept.tries if now - kept.tried_at < FORGOTTEN_AFTER else 0)
        wait = wait_after(tries, free=limit.free, first=limit.first, longest=limit.longest)
        unchanged = Tally.objects.filter(pk=kept.pk, tries=kept.tries, tried_at=kept.tried_at)
        if unchanged.update(tries=tries, tried_at=now, free_at=now + timedelta(seconds=wait)):
            return tries
    raise HeldBack(timedelta(seconds=limit.first))


def let_go(limit: Limit, *whom: object) -> None:
    """It was right: nothing is held against them."""
    Tally.objects.filter(key__in=[_key(limit, each) for each in whom]).delete()


def forget_old_tallies() -> None:
    """Remove what counts no more."""
    Tally.objects.filter(tried_at__lt=timezone.now() - FORGOTTEN_AFTER).delete()


def _key(limit: Limit, whom: object) -> str:
    """A keyed hash: what is typed into a field for a name may be a password."""
    text = f"{limit.what}:{str(whom).casefold()}"
    return salted_hmac("catalogue.members.door", text, algorithm="sha256").hexdigest()


def wait_words(seconds: int) -> str:
    """Such as "40 seconds" or "3 minutes"; never less than it is."""
    if seconds < MINUTE:
        return ngettext("%(n)d second", "%(n)d seconds", seconds) % {"n": seconds}
    if seconds <= HOUR:
        minutes = math.ceil(seconds / MINUTE)
        return ngettext("%(n)d minute", "%(n)d minutes", minutes) % {"n": minutes}
    hours = math.ceil(seconds / HOUR)
    return ngettext("%(n)d hour", "%(n)d hours", hours) % {"n": hours}


def held_words(held: HeldBack) -> str:
    return _("This was tried too often. Wait %s, then try again.") % wait_words(held.seconds)
