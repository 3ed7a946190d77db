"""What stays when a member is erased, and why: said before it is done.

Each app adds its own through ``MemberData.remains``. The texts of other members may name the one
who leaves. They are not searched for the page: a member may call themselves what they like, and
could read in the count of what was found what others wrote.
"""

from __future__ import annotations

from typing import Any

from django.utils import formats
from django.utils.translation import gettext as _
from django.utils.translation import ngettext, ngettext_lazy

from catalogue.backup.shelf import Made
from catalogue.members.models import HandedLink, Member
from catalogue.models import Deed, Proposal, Want
from catalogue.site.overwriting import is_overwritten

_PROPOSED = ngettext_lazy(
    "%(n)d type that you proposed stays in the catalogue without your name, since others may hold "
    "it; your note to the curator goes.",
    "%(n)d types that you proposed stay in the catalogue without your name, since others may hold "
    "them; your notes to the curator go.",
    "n",
)
_ASKED_FOR = ngettext_lazy(
    "%(n)d want of another member that asked for a spare of yours stays on their list, without "
    "your piece.",
    "%(n)d wants of other members that asked for spares of yours stay on their lists, without "
    "your pieces.",
    "n",
)
_ANSWERED = ngettext_lazy(
    "%(n)d answer that you gave as a curator stays with the type, without your name.",
    "%(n)d answers that you gave as a curator stay with the types, without your name.",
    "n",
)
_CHANGED = ngettext_lazy(
    "What stood before and after %(n)d change that you made to the catalogue stays, without your "
    "name.",
    "What stood before and after %(n)d changes that you made to the catalogue stays, without your "
    "name.",
    "n",
)
_LINKS = ngettext_lazy(
    "%(n)d link that you made for another person stays, without your name.",
    "%(n)d links that you made for other persons stay, without your name.",
    "n",
)


def counted(number: int, words: Any) -> list[str]:
    """A sentence for so many, by a lazy plural counted by "n"; none for nought."""
    return [words % {"n": number}] if number else []


def catalogue_remains(member: Member) -> list[str]:
    """What stays of the records of this app."""
    asked_for = Want.everything.filter(asked_of__owner=member)
    answered = Proposal.objects.filter(decided_by=member).exclude(answer="")
    links = HandedLink.objects.filter(made_by=member).exclude(member=member)
    changed = Deed.objects.filter(
        by=member, alterations__owner=None, alterations__holding=None
    ).distinct()
    lines = [
        *counted(member.proposals.count(), _PROPOSED),
        *counted(changed.count(), _CHANGED),
        *counted(asked_for.count(), _ASKED_FOR),
        *counted(answered.count(), _ANSWERED),
        *counted(links.count(), _LINKS),
    ]
    if member.showings.filter(indexed=True, open_to_all=True).exists():
        lines.append(
            _(
                "Pages that you let search engines list may be kept there for a time; this site "
                "cannot take them back."
            )
        )
    return lines


def in_backups(made: list[Made]) -> list[str]:
    """Which backups still hold a member: said with their day and number."""
    if not made:
        return []
    named = ", ".join(
        _("%(number)s of %(day)s")
        % {"number": each.short, "day": formats.date_format(each.made_at, "j F Y")}
        for each in made
    )
    words = ngettext(
        "A backup of this site still holds what is yours (%(named)s). It stays until the keeper of "
        "the site deletes it. Should it ever be put back, you are erased again with it.",
        "Backups of this site still hold what is yours (%(named)s). They stay until the keeper of "
        "the site deletes them. Should one ever be put back, you are erased again with it.",
        len(made),
    )
    return [words % {"named": named}]


def always_remains() -> list[str]:
    """What stays whoever leaves."""
    lines = [
        _(
            "What others wrote of their own pieces is theirs, and may name you: from whom a piece "
            "came, to whom it went, who owned it before. It is not searched for your name, "
            "since nobody may find out here what others wrote. Ask them."
        ),
        _("A picture that another member or the catalogue also has stays for them."),
        _(
            "Papers and files that left the site (printed sheets, exports, what you showed by a "
            "link) cannot be taken back."
        ),
        _(
            "Copies of the site that its keeper made, and the server’s own log, hold what they "
            "held. Ask when they are thrown away."
        ),
    ]
    if not is_overwritten():
        lines.append(
            _(
                "This site keeps its records in PostgreSQL. What is deleted is shown to nobody, "
                "but can be read in the files of the database by who runs the machine, until "
                "these are vacuumed. Ask for that: VACUUM (FULL, ANALYZE)."
            )
        )
    return lines
