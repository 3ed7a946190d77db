"""How each address is filled from one of everything, and what is sent to it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from catalogue.models import Holding
from series.models import Mint
from tests.catalogue.access_world import World

Fill = Callable[[World], dict[str, Any]]


def _pk(name: str) -> Fill:
    return lambda world: {"pk": getattr(world, name).pk}


def _key(name: str) -> Fill:
    return lambda world: {"key": getattr(world.coinage, name).key}


def _token(name: str) -> Fill:
    return lambda world: {"token": getattr(world, name)}


def _face(world: World) -> dict[str, Any]:
    return {"key": world.coinage.type.key, "side": "obverse", "size": "small"}


def _photo(name: str) -> Fill:
    return lambda world: {"pk": getattr(world, name).pk, "size": "small"}


def _shown(**more: str) -> Fill:
    """Behind the secret link of a page for others: with the ids of these records."""
    return lambda world: {
        "token": world.showing_token,
        **{part: getattr(world, name).pk for part, name in more.items()},
    }


def _opened(**more: str) -> Fill:
    """The same behind its open address or its owner's."""
    return lambda world: {
        "pk": world.showing.pk,
        **{part: getattr(world, name).pk for part, name in more.items()},
    }


def _stop(name: str) -> Fill:
    return lambda world: {"pk": world.talk.pk, "stop": getattr(world, name).pk}


def _told(**more: str) -> Fill:
    """Behind the secret link of a talk: with the ids of these records."""
    return lambda world: {
        "token": world.talk_token,
        **{part: getattr(world, name).pk for part, name in more.items()},
    }


def _told_face(name: str) -> Fill:
    return lambda world: {
        **_told()(world),
        "key": (world.proposed if name == "proposed" else world.coinage.type).key,
        "side": "obverse",
    }


def _first_stop(fill: Fill) -> Fill:
    return lambda world: {**fill(world), "number": 1}


def _sized(fill: Fill, **more: str) -> Fill:
    return lambda world: {**fill(world), "size": "small", **more}


def _type_face(fill: Fill, name: str = "type") -> Fill:
    return lambda world: {
        **_sized(fill, side="obverse")(world),
        "key": (world.proposed if name == "proposed" else world.coinage.type).key,
    }


def _proposed(world: World) -> dict[str, Any]:
    return {"key": world.proposed.key}


def _mint(world: World) -> dict[str, Any]:
    mint, _made = Mint.objects.get_or_create(key="mint", defaults={"name": "A mint"})
    return {"key": mint.key}


def _called(fill: Fill) -> Fill:
    """The id of a record where an address calls it its key."""
    return lambda world: {"key": fill(world)["pk"]}


def _unidentified(world: World) -> dict[str, Any]:
    piece, _made = Holding.objects.get_or_create(
        owner=world.owner, accession="A.9", visibility="club"
    )
    return {"pk": piece.pk}


# How the parts of an address are filled, by "name" or "name:variant" as in the table.
ARGUMENTS: dict[str, Fill] = {
    "handed-link": _token("link_token"),
    "handed-link:made-up": lambda world: {"token": "made-up"},
    "member": _pk("owner"),
    "member-role": _pk("owner"),
    "member-sign-in": _pk("owner"),
    "reset-member": _pk("owner"),
    "remove-second-factor": _pk("owner"),
    "device-end": _pk("device"),
    "withdraw-invitation": _pk("invitation"),
    "country": _key("issuer"),
    "country-timeline": _key("issuer"),
    "country-motifs": _key("issuer"),
    "denomination": _key("denomination"),
    "series": _key("series"),
    "type": _key("type"),
    "type:proposed": lambda world: {"key": world.proposed.key},
    "face-picture": _face,
    "country-join": _key("issuer"),
    "issuer-edit": _key("issuer"),
    "currency-edit": _key("currency"),
    "series-edit": _key("series"),
    "denomination-edit": _key("denomination"),
    "mint-edit": _mint,
    "person-edit": lambda world: {"key": world.person.key},
    "motif-edit": lambda world: {"key": world.motif.key},
    "type-like": _key("type"),
    "type-like:proposed": _proposed,
    "type-propose": _key("type"),
    "type-propose:proposed": _proposed,
    "type-edit": _key("type"),
    "type-edit:proposed": _proposed,
    "type-join": _key("type"),
    "type-join:proposed": _proposed,
    "issue-edit": lambda world: {"key": world.coinage.type.key, "issue_key": "1931"},
    "type-from-holding": _unidentified,
    "type-from-holding:private": _pk("private"),
    "proposal": _pk("proposal"),
    "motif": lambda world: {"key": world.motif.key},
    "person": lambda world: {"key": world.person.key},
    "holding": _pk("holding"),
    "holding:private": _pk("private"),
    "holding:public": _pk("public"),
    "holding-card": _pk("holding"),
    "holding-card:private": _pk("private"),
    "holding-card:public": _pk("public"),
    "type-dates": lambda world: {"pk": world.coinage.type.pk},
    "type-dates:proposed": _pk("proposed"),
    "date-run": _key("type"),
    "date-run:proposed": lambda world: {"key": world.proposed.key},
    "holdings-export": lambda world: {"ending": "csv"},
    "holdings-export:xlsx": lambda world: {"ending": "xlsx"},
    "holdings-export:json": lambda world: {"ending": "json"},
    "holdings-export:jsonld": lambda world: {"ending": "jsonld"},
    "holdings-export:unknown": lambda world: {"ending": "exe"},
    "holding-edit": _pk("holding"),
    "holding-edit:private": _pk("private"),
    "holding-copy": _pk("holding"),
    "holding-copy:private": _pk("private"),
    "holding-split": _pk("holding"),
    "holding-split:private": _pk("private"),
    "holding-status": _pk("holding"),
    "holding-status:private": _pk("private"),
    "holding-bin": _pk("holding"),
    "holding-bin:private": _pk("private"),
    "change": _pk("deed"),
    "change-take-back": _pk("deed"),
    "holding-undo": _pk("holding"),
    "holding-undo:private": _pk("private"),
    "holding-history": _called(_pk("holding")),
    "holding-history:private": _called(_pk("private")),
    "holding-history:public": _called(_pk("public")),
    "place-history": _called(_pk("place")),
    "aim-history": _called(_pk("aim")),
    "want-history": _called(_pk("want")),
    "type-undo": _key("type"),
    "issuer-undo": _key("issuer"),
    "currency-undo": _key("currency"),
    "denomination-undo": _key("denomination"),
    "series-undo": _key("series"),
    "mint-undo": _mint,
    "motif-undo": lambda world: {"key": world.motif.key},
    "person-undo": lambda world: {"key": world.person.key},
    "type-history": _key("type"),
    "type-history:proposed": _proposed,
    "issuer-history": _key("issuer"),
    "currency-history": _key("currency"),
    "denomination-history": _key("denomination"),
    "series-history": _key("series"),
    "mint-history": _mint,
    "motif-history": lambda world: {"key": world.motif.key},
    "person-history": lambda world: {"key": world.person.key},
    "receipt": _pk("receipt"),
    "receipt-add": _pk("holding"),
    "receipt-add:private": _pk("private"),
    "receipt-remove": _pk("receipt"),
    "saved-search": _pk("search"),
    "search-remove": _pk("search"),
    "place-edit": _pk("place"),
    "place-bin": _pk("place"),
    "bin-take-back": lambda world: {"kind": "place", "pk": world.binned_place.pk},
    "photo": _photo("photo"),
    "photo:private": _photo("private_photo"),
    "photo:public": _photo("public_photo"),
    "photo-edit": _pk("photo"),
    "photo-edit:private": _pk("private_photo"),
    "photo-remove": _pk("photo"),
    "photo-remove:private": _pk("private_photo"),
    "photo-add": _pk("holding"),
    "photo-add:private": _pk("private"),
    "aim": _pk("aim"),
    "aim-edit": _pk("aim"),
    "aim-remove": _pk("aim"),
    "aim-list": _pk("aim"),
    "spare-ask": _pk("private"),
    "spare-ask:free": _pk("holding"),
    "want-edit": _pk("want"),
    "want-remove": _pk("want"),
    "member-wants": _pk("owner"),
    "reserve": _pk("private"),
    "reservation-end": _pk("reservation"),
    "want-list": _pk("want_list"),
    "want-list-csv": _pk("want_list"),
    "want-list-edit": _pk("want_list"),
    "want-list-remove": _pk("want_list"),
    "want-list-share": _pk("want_list"),
    "want-list-unshare": _pk("want_list"),
    "shared-list": _token("list_token"),
    "shared-list:made-up": lambda world: {"token": "made-up"},
    "shared-list-csv": _token("list_token"),
    "shared-list-csv:made-up": lambda world: {"token": "made-up"},
    "showing": _pk("showing"),
    "showing-edit": _pk("showing"),
    "showing-pieces": _pk("showing"),
    "showing-remove": _pk("showing"),
    "showing-share": _pk("showing"),
    "showing-unshare": _pk("showing"),
    "showing-preview": _pk("showing"),
    "showing-preview-piece": _opened(piece="holding"),
    "shown": _shown(),
    "shown:made-up": lambda world: {"token": "made-up"},
    "shown-piece": _shown(piece="holding"),
    "shown-piece:hidden": _shown(piece="private"),
    "shown-piece:other": _shown(piece="public"),
    "shown-photo": _sized(_shown(photo="photo")),
    "shown-photo:hidden": _sized(_shown(photo="private_photo")),
    "shown-photo:other": _sized(_shown(photo="public_photo")),
    "shown-face": _type_face(_shown()),
    "shown-face:other": _type_face(_shown(), "proposed"),
    "open-showing": _pk("showing"),
    "open-showing-piece": _opened(piece="holding"),
    "open-showing-piece:hidden": _opened(piece="private"),
    "open-showing-photo": _sized(_opened(photo="photo")),
    "open-showing-photo:hidden": _sized(_opened(photo="private_photo")),
    "open-showing-face": _type_face(_opened()),
    "talk": _pk("talk"),
    "talk-edit": _pk("talk"),
    "talk-remove": _pk("talk"),
    "talk-order": _pk("talk"),
    "talk-add": _pk("talk"),
    "talk-draft": _pk("talk"),
    "talk-leave-out": _pk("talk"),
    "talk-take-along": _pk("talk"),
    "talk-handout": _pk("talk"),
    "talk-cards": _pk("talk"),
    "talk-case": _pk("talk"),
    "talk-captions": _pk("talk"),
    "talk-notes": _pk("talk"),
    "talk-stop": _stop("text_stop"),
    "talk-stop:piece": _stop("stop"),
    "talk-stop-draft": _stop("stop"),
    "talk-stop-remove": _stop("stop"),
    "talk-wall": _pk("talk"),
    "talk-wall-stop": _first_stop(_pk("talk")),
    "talk-speaker": _pk("talk"),
    "talk-speaker-stop": _first_stop(_pk("talk")),
    "talk-rehearse": _pk("talk"),
    "talk-rehearse-stop": _first_stop(_pk("talk")),
    "talk-rehearsed": _pk("talk"),
    "talk-file": _pk("talk"),
    "talk-link": _pk("talk"),
    "talk-share": _pk("talk"),
    "talk-unshare": _pk("talk"),
    "shown-talk": _told(),
    "shown-talk:made-up": lambda world: {"token": "made-up"},
    "shown-talk-stop": _first_stop(_told()),
    "shown-talk-photo": _told(photo="photo"),
    "shown-talk-photo:hidden": _told(photo="private_photo"),
    "shown-talk-photo:other": _told(photo="public_photo"),
    "shown-talk-face": _told_face("type"),
    "shown-talk-face:other": _told_face("proposed"),
    "valuation-edit": _pk("value"),
    "valuation-edit:type": _pk("type_value"),
    "valuation-bin": _pk("value"),
    "valuation-bin:type": _pk("type_value"),
    "valuation-take-back": _pk("value"),
    "price-source-edit": _pk("source"),
    "price-source-bin": _pk("source"),
    "ladder-sheet": _key("issuer"),
    "stock-edit": _pk("stock"),
    "stock-bin": _pk("stock"),
    "stock-trial": _pk("stock"),
    "archive": _pk("archive"),
    "archive-bring": _pk("archive"),
    "archive-again": _pk("archive"),
    "archive-remove": _pk("archive"),
    "import": _pk("brought"),
    "import-columns": _pk("brought"),
    "import-settle": _pk("brought"),
    "import-reopen": _pk("brought"),
    "import-answer": _pk("brought"),
    "import-take": _pk("brought"),
    "import-back": _pk("brought"),
    "import-again": _pk("brought"),
    "import-remove": _pk("brought"),
    "mapping-forget": _pk("known"),
    "sheet": _pk("sheet"),
    "sheet-again": _pk("sheet"),
    "sheet-file": _pk("sheet"),
    "sheet-remove": _pk("sheet"),
    "wants-sheet": _pk("want_list"),
    "album-of-aim": _pk("aim"),
    "album-of-wants": _pk("want_list"),
    "shared-list-sheet": _token("list_token"),
    "shared-list-sheet:made-up": lambda world: {"token": "made-up"},
    "schedule": _pk("schedule"),
    "schedule-file": _pk("schedule"),
    "schedule-csv": _pk("schedule"),
    "schedule-delete": _pk("schedule"),
}
# What an address needs after its question mark.
ASKED: dict[str, Callable[[World], str]] = {
    "identify:again": lambda world: f"holding={_unidentified(world)['pk']}",
    "identify:private": lambda world: f"holding={world.private.pk}",
    "identify-compare:two": lambda world: (
        f"a={world.coinage.type.key}&b={world.proposed.key}&diameter=23"
    ),
    "album-sheet:series": lambda world: f"series={world.coinage.series.key}",
    "valuation-new": lambda world: f"holding={world.holding.pk}",
    "valuation-new:type": lambda world: f"type={world.coinage.type.key}",
}
# What is sent with a POST where an empty one would not reach the rule that is to be seen.
SENT: dict[str, Callable[[World], dict[str, Any]]] = {
    "member-role": lambda world: {"role": "curator"},
    "member-sign-in": lambda world: {"allowed": "yes"},
    "invite": lambda world: {"role": "member"},
    "date-run": lambda world: {"grade_scale": "british"},
    "date-run:proposed": lambda world: {"grade_scale": "british"},
    "holding-split": lambda world: {"pieces": "1"},
    "holding-split:private": lambda world: {"pieces": "1"},
    "holding-status": lambda world: {"status": "on_loan", "on": "2024-03-01"},
    "holding-status:private": lambda world: {"status": "on_loan", "on": "2024-03-01"},
    "holdings-bulk": lambda world: {"holding": world.holding.pk},
    "reserve": lambda world: {"member": world.other.pk},
    "identify-keep": lambda world: {"legend": "LIB"},
    "identify-keep:again": lambda world: {"legend": "LIB", "holding": _unidentified(world)["pk"]},
    "identify-keep:private": lambda world: {"legend": "LIB", "holding": world.private.pk},
    "identify-keep:type": lambda world: {"legend": "LIB", "type": world.coinage.type.pk},
    "identify-keep:proposed": lambda world: {"legend": "LIB", "type": world.proposed.pk},
}
