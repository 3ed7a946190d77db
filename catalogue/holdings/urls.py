from __future__ import annotations

from django.urls import path

from catalogue.holdings.browse import choosing_views, plate_size
from catalogue.holdings.browse import views as browse_views
from catalogue.holdings.bulk import views as bulk_views
from catalogue.holdings.entry import views as entry_views
from catalogue.holdings.papers import views as receipt_views
from catalogue.holdings.piece import bin_views, edit_views, views
from catalogue.holdings.places import views as place_views

urlpatterns = [
    path("holdings/", browse_views.holdings, name="holdings"),
    path("holdings/new/", edit_views.holding_new, name="holding-new"),
    path("holdings/new/dates/", edit_views.holding_dates, name="holding-dates"),
    path("holdings/quick/", entry_views.quick_entry, name="quick-entry"),
    path("holdings/quick/coin/", entry_views.quick_coin, name="quick-coin"),
    path("holdings/quick/date/", entry_views.quick_date, name="quick-date"),
    path("holdings/quick/types/", entry_views.type_search, name="type-search"),
    path("holdings/quick/types/<number:pk>/dates/", entry_views.type_dates, name="type-dates"),
    path("holdings/bulk/", bulk_views.holdings_bulk, name="holdings-bulk"),
    path("holdings/chosen/", choosing_views.chosen_sheet, name="chosen-sheet"),
    path("holdings/plate-size/", plate_size.plate_size, name="plate-size"),
    path("holdings/<number:pk>/", views.holding, name="holding"),
    path("holdings/<number:pk>/card/", views.holding_card, name="holding-card"),
    path("holdings/<number:pk>/edit/", edit_views.holding_edit, name="holding-edit"),
    path("holdings/<number:pk>/copy/", edit_views.holding_copy, name="holding-copy"),
    path("holdings/<number:pk>/split/", edit_views.holding_split, name="holding-split"),
    path("holdings/<number:pk>/status/", edit_views.holding_status, name="holding-status"),
    path("holdings/<number:pk>/bin/", edit_views.holding_bin, name="holding-bin"),
    path("holdings/<number:pk>/papers/", receipt_views.receipt_add, name="receipt-add"),
    path("papers/<number:pk>/", receipt_views.receipt, name="receipt"),
    path("papers/<number:pk>/remove/", receipt_views.receipt_remove, name="receipt-remove"),
    path("types/<slug:key>/dates/", entry_views.date_run, name="date-run"),
    path("places/", place_views.places, name="places"),
    path("places/new/", place_views.place_new, name="place-new"),
    path("places/<number:pk>/", place_views.place_edit, name="place-edit"),
    path("places/<number:pk>/bin/", place_views.place_bin, name="place-bin"),
    path("bin/", bin_views.bin_page, name="bin"),
    path("bin/<slug:kind>/<number:pk>/", bin_views.take_back, name="bin-take-back"),
]
