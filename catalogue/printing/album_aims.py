"""An album made of an aim, or of a want list: what is held in its place, what is missing empty."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.text import capfirst

from catalogue import access
from catalogue.models import Aim, Holding, Member, Want, WantList
from catalogue.printing import words
from catalogue.printing.album_pieces import AlbumOf, PocketOf, album_from
from catalogue.wants.gaps import GAP, HELD, UPGRADE, lacking, live_aims, scope_issues
from catalogue.wants.lists import lines_by_hand
from catalogue.wants.units import way_of
from series.models import CoinType, Denomination, Issue
from series.text.words import years_text

Item = Issue | CoinType | Denomination


def own_aim(owner: Member, pk: int) -> Aim:
    """The owner's aim with an id; raises Aim.DoesNotExist."""
    return access.owned(live_aims(owner), owner).get(pk=pk)


def own_list(owner: Member, pk: int) -> WantList:
    """The owner's want list with an id; raises WantList.DoesNotExist."""
    return access.owned(WantList.objects.all(), owner).get(pk=pk)


def album_of_aim(owner: Member, parameters: Mapping[str, Any]) -> AlbumOf:
    """A pocket for each item of the aim with the id ``aim``; without ``gaps`` for those held."""
    aim = own_aim(owner, parameters["aim"])
    way, pieces, widest = way_of(aim), _pieces_of(owner, aim), _widest(aim)
    pockets = []
    for state in (HELD, UPGRADE, *((GAP,) if parameters.get("gaps") else ())):
        asked = _asked(aim, state, alone=False)
        for item in lacking(aim, state):
            held = pieces.get(way.key(item), [])
            pockets.append(_pocket(aim, item, held, widest, asked))
    return album_from(aim.name, pockets, made_for=aim.name)


def album_of_list(owner: Member, parameters: Mapping[str, Any]) -> AlbumOf:
    """An empty pocket for everything that the want list with the id ``list`` asks for."""
    wanted = own_list(owner, parameters["list"])
    pockets: list[PocketOf] = []
    for aim in wanted.aims.all():
        widest = _widest(aim)
        for state in (GAP, UPGRADE) if wanted.with_upgrades else (GAP,):
            asked = _asked(aim, state, alone=True)
            pockets += [_pocket(aim, item, [], widest, asked) for item in lacking(aim, state)]
    if wanted.with_hand_wants:
        for line in lines_by_hand(Want.objects.filter(owner=owner)):
            asked = words.at_least(line.lowest_grade)
            caption = "" if line.coin_type else line.what
            pockets.append(PocketOf(line.coin_type, line.issue, caption=caption, asked=asked))
    once = {(pocket.key, pocket.caption): pocket for pocket in reversed(pockets)}
    return album_from(wanted.title, list(once.values()), made_for=wanted.title)


def _asked(aim: Aim, state: str, alone: bool) -> str:
    """What is asked of a piece that is missing, or of one in place of a worse one."""
    if not aim.lowest_grade or state == HELD:
        return ""
    if state == UPGRADE and not alone:
        return words.better(aim.lowest_grade)
    return words.at_least(aim.lowest_grade)


def _pocket(
    aim: Aim, item: Item, held: list[Holding], widest: Mapping[int, CoinType], asked: str
) -> PocketOf:
    """The pocket of an item. Types and denominations share a row, each with its own name."""
    if isinstance(item, Issue):
        return PocketOf(item.coin_type, item, held, asked=asked)
    group = capfirst(aim.get_unit_display())
    if isinstance(item, CoinType):
        span = years_text(item.first_year, item.last_year)
        caption = "\n".join(filter(None, (str(item), span)))
        return PocketOf(item, None, held, caption=caption, group=group, asked=asked)
    part = str(aim.issuer or item.currency)
    coin_type = held[0].coin_type if held else widest.get(item.pk)
    caption = item.name
    return PocketOf(coin_type, None, held, caption=caption, group=group, part=part, asked=asked)


def _pieces_of(owner: Member, aim: Aim) -> dict[Any, list[Holding]]:
    """The owner's pieces of each item of an aim. One query."""
    types = scope_issues(aim).order_by().values("coin_type")
    pieces = access.own_in_hand(owner).filter(coin_type__in=types)
    way = way_of(aim)
    found: dict[Any, list[Holding]] = {}
    related = "issue", "coin_type__denomination", "coin_type__series__issuer"
    for piece in pieces.select_related(*related).prefetch_related("coin_type__faces"):
        found.setdefault(way.piece_key(piece), []).append(piece)
    return found


def _widest(aim: Aim) -> dict[int, CoinType]:
    """Of each denomination the widest type the aim allows, so that any of them fits its pocket."""
    if aim.unit != Aim.Unit.DENOMINATION:
        return {}
    types = CoinType.objects.filter(pk__in=scope_issues(aim).order_by().values("coin_type"))
    found: dict[int, CoinType] = {}
    for coin_type in types.select_related("denomination", "series__issuer"):
        known = found.get(coin_type.denomination_id)
        if known is None or (coin_type.diameter_mm or 0) > (known.diameter_mm or 0):
            found[coin_type.denomination_id] = coin_type
    return found
