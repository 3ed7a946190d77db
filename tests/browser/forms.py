"""Every address that takes a form, and how a browser sends it; ``test_every_form.py`` does so.

To add a form: a row in ``FORMS`` under its subject, in the order in which they can be sent one
after another. ``w`` is the world of ``tests/catalogue/access_world.py``; braces in a page or a
value are filled from it. A form that a test of its own sends stands in ``SENT_ELSEWHERE``.
"""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Form:
    """The form sent to the address named ``to``, as it stands on ``page``.

    ``changes`` is the model of which a record has to be made, changed or
    removed by it. ``button`` is the value of the button to press, where the form has several.
    """

    to: str
    page: str
    changes: str
    fields: dict[str, str] = field(default_factory=dict)
    viewer: str = "owner"
    button: str = ""


DENOMINATION = "/denominations/testland-25-tinne/history/"
TYPE = "/types/{w.coinage.type.key}/"
BELONGS = {"country": "Testland", "value": "25 tinne"}
HOLDING = "/holdings/{w.holding.pk}/"
SHOWING = "/showings/{w.showing.pk}/"
TALK = "/talks/{w.talk.pk}/"
PICTURE, PAPER = "{w.picture}", "{w.paper}"

FORMS: dict[str, list[Form]] = {
    "members": [
        Form("account", "/account/", "Member", {"name": "Olga"}),
        Form("device-end", "/account/", "Device"),
        Form("devices-end", "/account/", "Device"),
        Form(
            "account-password",
            "/account/password/",
            "Member",
            {
                "old_password": "{w.password}",
                "new_password1": "two lamps at the quay",
                "new_password2": "two lamps at the quay",
            },
        ),
        Form(
            "account-second-factor",
            "/account/second-factor/",
            "SecondFactor",
            {"password": "two lamps at the quay"},
        ),
        Form("invite", "/club/invite/", "HandedLink", viewer="administrator"),
        Form("withdraw-invitation", "/club/", "HandedLink", viewer="administrator"),
        Form(
            "member-role",
            "/club/{w.owner.pk}/",
            "Member",
            {"role": "curator"},
            viewer="administrator",
        ),
        Form("reset-member", "/club/{w.owner.pk}/", "HandedLink", viewer="administrator"),
        Form("notices-put-away", "/", "Notice"),
        Form("member-sign-in", "/club/{w.other.pk}/", "Member", viewer="administrator"),
        Form(
            "account-erase",
            "/account/erase/",
            "Member",
            {"password": "two lamps at the quay", "word": "erase"},
        ),
    ],
    "reference records": [
        Form(
            "country-start",
            "/countries/start/",
            "Series",
            {"name": "Skarvø", "currency": "dal", "series": "First", "denominations": "1 dal"},
        ),
        Form("issuer-new", "/countries/new/", "Issuer", {"name": "Norrland"}),
        Form("issuer-edit", "/countries/testland/edit/", "Issuer", {"name": "T"}, "curator"),
        Form("issuer-undo", "/countries/testland/history/", "Issuer", viewer="curator"),
        Form(
            "currency-new", "/currencies/new/", "Currency", {"issuers": "Norrland", "name": "ort"}
        ),
        Form(
            "currency-edit", "/currencies/testland-marl/edit/", "Currency", {"name": "m"}, "curator"
        ),
        Form("currency-undo", "/currencies/testland-marl/edit/", "Currency", viewer="curator"),
        Form(
            "series-new",
            "/series/new/",
            "Series",
            {"issuer": "Norrland", "currency": "ort", "name": "Ort coinage"},
        ),
        Form("series-edit", "/series/testland-first/edit/", "Series", {"name": "One"}, "curator"),
        Form("series-undo", "/series/testland-first/", "Series", viewer="curator"),
        Form(
            "denomination-new",
            "/denominations/new/",
            "Denomination",
            {"currency": "ort", "name": "1 ort", "value": "1"},
        ),
        Form(
            "denomination-edit",
            "/denominations/testland-25-tinne/edit/",
            "Denomination",
            {"name": "25 t"},
            "curator",
        ),
        Form("denomination-undo", DENOMINATION, "Denomination", viewer="curator"),
        Form("mint-new", "/mints/new/", "Mint", {"name": "Harbour"}),
        Form("mint-edit", "/mints/harbour/edit/", "Mint", {"name": "H"}, "curator"),
        Form("mint-undo", "/mints/harbour/edit/", "Mint", viewer="curator"),
        Form("person-new", "/people/new/", "Person", {"name": "E. Graver"}),
        Form("person-edit", "/people/engraver/edit/", "Person", {"name": "E"}, "curator"),
        Form("person-undo", "/people/engraver/", "Person", viewer="curator"),
        Form("motif-new", "/motifs/new/", "Motif", {"name": "tern"}),
        Form("motif-edit", "/motifs/gull/edit/", "Motif", {"name": "gulls"}, "curator"),
        Form("motif-undo", "/motifs/gull/", "Motif", viewer="curator"),
    ],
    "types": [
        Form("type-new", "/types/new/", "CoinType", {**BELONGS, "name": "new", "dates": "1935"}),
        Form("type-like", TYPE + "like/", "CoinType", {"name": "like"}),
        Form("type-propose", TYPE + "propose/", "Proposal", {"name": "proposed"}),
        Form("type-edit", TYPE + "edit/", "CoinType", {"name": "edited"}, "curator"),
        Form("issue-edit", TYPE + "issues/1931/", "Issue", {"date": "1932"}, "curator"),
        Form("type-undo", TYPE, "Issue", viewer="curator"),
        Form("type-from-holding", "/holdings/{w.unknown.pk}/type/", "CoinType", BELONGS),
        Form("proposal", "/curation/{w.proposal.pk}/", "Proposal", {}, "curator", "accept"),
        Form(
            "type-join",
            "/types/{w.proposed.key}/join/?keep={w.coinage.type.key}",
            "CoinType",
            {},
            "curator",
        ),
    ],
    "holdings": [
        Form("holding-new", "/holdings/new/", "Holding", {"title": "A disc"}),
        Form("date-run", TYPE + "dates/", "Holding", {"issue": "on"}),
        Form("holding-edit", HOLDING + "edit/", "Holding", {"grade": "EF"}),
        Form("holding-undo", HOLDING, "Holding"),
        Form("holding-copy", HOLDING, "Holding"),
        Form("holding-split", HOLDING + "split/", "Holding", {"pieces": "1"}),
        Form("holding-status", HOLDING + "status/", "Holding", {"status": "on_loan"}),
        Form("plate-size", "/holdings/", "Member", button="150"),
        Form("saved-searches", "/holdings/?spare=yes", "SavedSearch", {"name": "Doubles"}),
        Form(
            "saved-search", "/holdings/searches/{w.search.pk}/", "SavedSearch", {"name": "To swap"}
        ),
        Form("search-remove", "/holdings/searches/", "SavedSearch"),
        Form("receipt-add", HOLDING + "papers/", "Receipt", {"file": PAPER}),
        Form("receipt-remove", HOLDING, "Receipt"),
        Form("photo-add", HOLDING + "photos/", "Photo", {"obverse": PICTURE}),
        Form("photo-edit", "/photos/{w.photo.pk}/", "Photo", {"taken_on": "2024-03-01"}),
        Form("photo-remove", "/photos/{w.photo.pk}/", "Photo"),
        Form("place-new", "/places/new/", "Place", {"name": "Drawer"}),
        Form("place-edit", "/places/{w.place.pk}/", "Place", {"name": "Cupboard"}),
        Form("place-bin", "/places/{w.place.pk}/", "Place"),
        Form("change-take-back", "/changes/{w.deed.pk}/", "Aim"),
        Form("holding-bin", HOLDING, "Holding"),
        Form("bin-take-back", "/bin/", "Holding"),
    ],
    "lists brought in": [
        Form("imports", "/imports/", "ImportedList", {"file": "{w.listed}"}),
        Form(
            "import-columns",
            "/imports/{w.brought.pk}/columns/",
            "ListMapping",
            {"save_as": "Mine"},
        ),
        Form(
            "import-settle",
            "/imports/{w.brought.pk}/settle/",
            "ImportedRow",
            button="unidentified",
        ),
        Form("import-reopen", "/imports/{w.brought.pk}/", "ImportedRow"),
        Form("import-take", "/imports/{w.brought.pk}/", "Holding"),
        Form("import-back", "/imports/{w.brought.pk}/", "Holding"),
        Form("import-remove", "/imports/{w.brought.pk}/", "ImportedList"),
        Form("mapping-forget", "/imports/", "ListMapping"),
    ],
    "archives brought back": [
        Form("archive-bring", "/account/archives/{w.archive.pk}/", "Place"),
        Form("archive-remove", "/account/archives/{w.archive.pk}/", "BroughtArchive"),
        Form("archives", "/account/archives/", "BroughtArchive", {"file": "{w.zipped}"}),
    ],
    "worth": [
        Form(
            "valuation-new",
            "/worth/values/new/?holding={w.holding.pk}",
            "Valuation",
            {"single": "12", "source": "Own notes"},
        ),
        Form("valuation-edit", "/worth/values/{w.value.pk}/", "Valuation", {"single": "13"}),
        Form("valuation-bin", "/worth/values/{w.value.pk}/", "Valuation"),
        Form("valuation-take-back", "/worth/sources/", "Valuation"),
        Form("price-source-new", "/worth/sources/new/", "PriceSource", {"name": "A sale"}),
        Form(
            "price-source-edit", "/worth/sources/{w.source.pk}/", "PriceSource", {"name": "Notes"}
        ),
        Form("price-source-bin", "/worth/sources/{w.spare_source.pk}/", "PriceSource"),
        Form("schedule-new", "/schedules/new/", "Schedule"),
        Form("schedule-delete", "/schedules/{w.schedule.pk}/delete/", "Schedule"),
    ],
    "sheets": [
        Form(
            "stock-new",
            "/sheets/stock/new/",
            "LabelStock",
            {
                "name": "Tiny",
                "rows": "9",
                "columns": "3",
                "width_mm": "60",
                "height_mm": "25",
                "left_mm": "5",
                "top_mm": "5",
            },
        ),
        Form("stock-edit", "/sheets/stock/{w.stock.pk}/", "LabelStock", {"name": "Little"}),
        Form("stock-bin", "/sheets/stock/{w.stock.pk}/", "LabelStock"),
        Form("sheet-remove", "/sheets/{w.sheet.pk}/", "Sheet"),
    ],
    "wants": [
        Form("aim-new", "/aims/new/", "Aim", {"name": "Firsts", "series": "First"}),
        Form("aim-edit", "/aims/{w.aim.pk}/edit/", "Aim", {"name": "Everything"}),
        Form("aim-list", "/aims/{w.aim.pk}/", "WantList", button="share"),
        Form("aim-remove", "/aims/{w.aim.pk}/", "Aim"),
        Form("want-new", "/wants/new/?type={w.coinage.type.key}", "Want"),
        Form("want-edit", "/wants/{w.want.pk}/", "Want", {"note": "a fine one"}),
        Form("want-remove", "/wants/{w.want.pk}/", "Want"),
        Form("spare-ask", "/wants/", "Want", viewer="other"),
        Form("reservation-end", "/wants/", "Reservation"),
        Form("reserve", "/club/{w.other.pk}/wants/", "Reservation"),
        Form("want-list-new", "/lists/new/", "WantList", {"title": "For the fair"}),
        Form("want-list-edit", "/lists/{w.want_list.pk}/edit/", "WantList", {"title": "Looking"}),
        Form("want-list-unshare", "/lists/{w.want_list.pk}/", "WantList"),
        Form("want-list-share", "/lists/{w.want_list.pk}/", "WantList"),
        Form("want-list-remove", "/lists/{w.want_list.pk}/edit/", "WantList"),
    ],
    "pages for others": [
        Form("showing-new", "/showings/new/?spare=yes", "Showing", {"title": "Two of each"}),
        Form("showing-edit", SHOWING + "edit/", "Showing", {"intro": "Found in drawers."}),
        Form("showing-pieces", SHOWING + "pieces/", "ShownPiece", {"numbers": "A.3"}),
        Form("showing-share", SHOWING, "Showing"),
        Form("showing-unshare", SHOWING, "Showing"),
        Form("showing-remove", SHOWING, "Showing"),
    ],
    "talks": [
        Form("talk-stop-draft", TALK + "stops/{w.stop.pk}/", "Stop"),
        Form("talk-leave-out", TALK, "Stop"),
        Form("talk-new", "/talks/new/?spare=yes", "Talk", {"title": "Two of each"}),
        Form("talk-edit", TALK + "edit/", "Talk", {"minutes": "20"}),
        Form("talk-add", TALK + "add/", "Stop", {"numbers": "A.3"}),
        Form("talk-draft", TALK, "Stop"),
        Form("talk-stop", TALK + "stops/{w.text_stop.pk}/", "Stop", {"heading": "Thank you"}),
        Form("talk-stop-remove", TALK + "stops/{w.text_stop.pk}/", "Stop"),
        Form("talk-share", TALK + "link/", "Talk"),
        Form("talk-unshare", TALK + "link/", "Talk"),
        Form("talk-remove", TALK, "Talk"),
    ],
    "identifying": [
        Form("identify-keep", "/identify/?legend=LIB", "Observation"),
    ],
}

# Tests in this folder that send the form on their way.
SENT_ELSEWHERE = {
    "talk-order": "test_talk.py::test_a_talk_of_a_series_is_made_ordered_and_changed",
    "sign-in": "test_first_evening.py::test_a_first_evening",
    "sign-in-code": "test_second_factor.py::test_from_setting_up_to_a_recovery_code",
    "remove-second-factor": "test_second_factor.py::test_an_administrator_removes_it_and_is_named",
    "sign-out": "test_links.py::test_a_member_signs_out_from_a_shared_list",
    "forgot": "test_empty_machine.py::test_from_an_empty_machine_to_a_club_of_two",
    "handed-link": "test_links.py::test_an_invited_person_joins_on_a_phone",
    "quick-entry": "test_quick_entry.py::test_two_pieces_by_keyboard_alone",
    "holdings-bulk": "test_every_form.py::test_a_change_in_bulk_is_looked_over_and_made",
    "holding-dates": "test_type_change.py::test_a_date_of_both_types_stays_chosen",
    "talk-rehearse": "test_give_a_talk.py::test_a_rehearsal_outlives_a_cut_network",
    "talk-rehearse-stop": "test_give_a_talk.py::test_a_rehearsal_outlives_a_cut_network",
    "sheet-again": "test_sheet_again.py::test_a_sheet_that_failed_is_begun_anew",
    "talk-cards": "test_take_along.py::test_hand_out_cards_and_plan_are_printed",
    "talk-case": "test_take_along.py::test_hand_out_cards_and_plan_are_printed",
    "talk-captions": "test_take_along.py::test_captions_come_as_a_file",
    "chosen-sheet": "test_holdings_on_a_phone.py::test_labels_are_made_of_the_chosen_ones",
    "packs": "test_packs.py::test_packs_are_ticked_and_a_country_is_joined",
    "country-join": "test_packs.py::test_packs_are_ticked_and_a_country_is_joined",
}

# Addresses whose form no browser sends here, and why.
LEFT_OUT = {
    "labels-sheet": "answered with a PDF, whose viewer hides the answer; a first evening reads it",
    "album-sheet": "answered with a PDF, whose viewer hides the answer; a first evening reads it",
    "album-of-aim": "answered with a PDF likewise; test_every_form.py reads it",
    "album-of-wants": "answered with a PDF likewise; test_every_form.py reads it",
    "talk-file": "answered with a file to save; test_own_file.py reads it",
    "archive-again": "stands on a page only while a task has an archive in hand, or failed",
    "import-again": "stands on a page only while a task has a list in hand",
    "import-answer": "stands on a page only where a cell can be read in two ways; a walk sends it",
    "identify-told": "stands on a page only after a pack was loaded and a task has run",
    "talk-handout": "asked only for a sheet too long to draw at once; it holds a button alone",
    "ladder-sheet": "asked only for a sheet too long to draw at once; it holds a button alone",
    "wants-sheet": "asked only for a sheet too long to draw at once; it holds a button alone",
    "schedule-file": "asked only for a sheet too long to draw at once; it holds a button alone",
}
