"""The form of a type holds all that a pack says: saved as it stands, nothing changes."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalogue.curation.type_form import TypeForm
from series.models import CoinType
from series.packs.load import load_pack
from series.types.dates_editing import stored_type

PACKS = Path(__file__).parents[3] / "fixtures" / "packs"
pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("pack", ["halvern", "euro"])
def test_a_packed_type_saved_as_it_stands_is_as_it_was(pack: str) -> None:
    load_pack(PACKS / pack)
    types = list(CoinType.objects.order_by("key"))
    for coin_type in types[:: max(1, len(types) // 12)]:
        before = stored_type(coin_type).entry
        shown = TypeForm(instance=coin_type)
        sent = {bound.name: "" if bound.value() is None else bound.value() for bound in shown}
        form = TypeForm(sent, instance=coin_type)
        assert form.is_valid(), (coin_type.key, form.errors)
        assert form.save_checked()
        assert stored_type(CoinType.objects.get(pk=coin_type.pk)).entry == before


def test_a_pack_loaded_again_keeps_what_the_form_changed() -> None:
    load_pack(PACKS / "halvern")
    coin_type = CoinType.objects.exclude(mass_g=None).order_by("key")[0]
    shown = TypeForm(instance=coin_type)
    sent = {bound.name: "" if bound.value() is None else bound.value() for bound in shown}
    dates = f"{sent['dates']}, 1890"
    form = TypeForm(sent | {"dates": dates, "reverse_motifs": "whale"}, instance=coin_type)
    assert form.is_valid(), form.errors
    assert form.save_checked()
    report = load_pack(PACKS / "halvern")
    face = coin_type.faces.get(side="reverse")
    assert [shown.motif.name for shown in face.shown.all()] == ["whale"]
    assert coin_type.issues.filter(shown="1890", withdrawn=False).exists()
    assert not report.changed_anything
