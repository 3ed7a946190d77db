"""Every model of the app, where Django looks for them; each lives with its subject."""

from __future__ import annotations

from catalogue.curation.models import Proposal
from catalogue.exports.models import BroughtArchive
from catalogue.history.models import Alteration, Deed
from catalogue.holdings.browse.searches.models import SavedSearch
from catalogue.holdings.models import (
    Change,
    ChangeCounter,
    Holding,
    HoldingProblem,
    HoldingReference,
    Place,
    ProvenanceLine,
    Receipt,
    StatusChange,
)
from catalogue.identifying.models import Observation
from catalogue.importing.models import ImportedList, ImportedPiece, ImportedRow, ListMapping
from catalogue.members.door.models import (
    Device,
    Notice,
    RecoveryCode,
    SecondFactor,
    Tally,
)
from catalogue.members.models import HandedLink, Member, SiteFact
from catalogue.photos.models import Photo
from catalogue.printing.models import LabelStock, Sheet
from catalogue.showing.models import Showing, ShownPiece
from catalogue.talks.models import Stop, Talk
from catalogue.wants.models import Aim, Reservation, Want, WantList
from catalogue.working.models import WorkerBeat

__all__ = [
    "Aim",
    "Alteration",
    "BroughtArchive",
    "Change",
    "ChangeCounter",
    "Deed",
    "Device",
    "HandedLink",
    "Holding",
    "HoldingProblem",
    "HoldingReference",
    "ImportedList",
    "ImportedPiece",
    "ImportedRow",
    "LabelStock",
    "ListMapping",
    "Member",
    "Notice",
    "Observation",
    "Photo",
    "Place",
    "Proposal",
    "ProvenanceLine",
    "Receipt",
    "RecoveryCode",
    "Reservation",
    "SavedSearch",
    "SecondFactor",
    "Sheet",
    "Showing",
    "ShownPiece",
    "SiteFact",
    "StatusChange",
    "Stop",
    "Talk",
    "Tally",
    "Want",
    "WantList",
    "WorkerBeat",
]
