"""The talk of the demo: a few denominations of Halvern, each through its series, in 25 minutes."""

from __future__ import annotations

from collections.abc import Callable
from urllib.parse import urlencode

from catalogue.models import Member, Stop, Talk
from catalogue.talks.changing import put_in
from catalogue.talks.drafting import draft
from catalogue.talks.proposing import Line, lines_of, missing, stops_for
from series.models import CoinType, Denomination, Issuer

TITLE = "What the tide left: 25 tinne and its neighbours"
MINUTES = 25
COUNTRY = "halvern"
SHOWN = ("1 tinne", "2 tinne", "5 tinne", "25 tinne", "50 tinne", "1 marl")
GAPS = ("halvern-provisional-25-tinne-token", "halvern-first-1-marl-peace")
CAPTIONS = {
    "halvern-provisional-1-tinne": "The smallest value the islands struck: a hundredth of a marl.",
    "halvern-first-5-tinne": "The light on Gannet Rock, and the herring that paid for it.",
    "halvern-first-5-tinne-zinc": "The same coin in zinc: the arms stand where the light was.",
    "halvern-provisional-25-tinne-token": "Square, of zinc: the quay paid with it for six weeks.",
    "halvern-first-25-tinne": "The first coin of Halvern that a visitor took home.",
    "halvern-reform-25-tinne": "Smaller by a tenth: the net has moved to the front.",
    "halvern-late-25-tinne": "Eighteen millimetres of steel, and columns of water for arms.",
    "halvern-first-1-marl-peace": "The one that is missing here: the year the lights were lit.",
    "halvern-late-1-marl": "The last of the marls: brass, and the tide table.",
}
THANKS = (
    "Thank you for coming. The coins may be taken into the hand now, by the rim, and over the "
    "table.\n\nIf somebody here has the marl of 1946, I am listening."
)


def shows(coin_type: CoinType) -> bool:
    """Whether a type is of a denomination that the talk follows."""
    of_halvern = coin_type.series.issuer.key == COUNTRY
    return of_halvern and coin_type.denomination.name in SHOWN


def build(passwords: dict[str, str], say: Callable[[str], None]) -> None:
    """The talk, drafted, with its captions and a last word."""
    owner = Member.objects.get(username="marit")
    country = Issuer.objects.get(key=COUNTRY)
    asked = Denomination.objects.filter(currency__issuers=country, name__in=SHOWN)
    query = urlencode({"denomination": list(asked.values_list("pk", flat=True))}, doseq=True)
    lines = lines_of(owner, query)
    lines += [Line(each.pk) for each in missing(owner, query) if each.key in GAPS]
    talk = Talk.objects.create(
        owner=owner, title=TITLE, given_by=owner.name, minutes=MINUTES, look_seconds=8
    )
    stops = stops_for(lines, "ladder", with_openings=True)
    put_in(talk, [*stops, Stop(kind=Stop.Kind.TEXT, heading="Thank you", notes=THANKS)])
    draft(talk)
    for stop in talk.stops.select_related("coin_type", "holding__coin_type"):
        coin_type = stop.holding.coin_type if stop.holding is not None else stop.coin_type
        caption = CAPTIONS.get(coin_type.key, "") if coin_type is not None else ""
        if caption:
            stop.caption = caption
            stop.save(update_fields=["caption"])
    say(f"A talk of {len(stops) + 1} stops made.")
