from __future__ import annotations

from django.urls import path

from catalogue.printing import sheet_views, views

urlpatterns = [
    path("sheets/", views.sheets, name="sheets"),
    path("sheets/labels/", sheet_views.labels_sheet, name="labels-sheet"),
    path("sheets/album/", sheet_views.album_sheet, name="album-sheet"),
    path("sheets/album/aim/<number:pk>/", sheet_views.album_of_aim, name="album-of-aim"),
    path("sheets/album/list/<number:pk>/", sheet_views.album_of_wants, name="album-of-wants"),
    path("sheets/ladder/<slug:key>/", sheet_views.ladder_sheet, name="ladder-sheet"),
    path("sheets/stock/new/", views.stock_new, name="stock-new"),
    path("sheets/stock/<number:pk>/", views.stock_edit, name="stock-edit"),
    path("sheets/stock/<number:pk>/bin/", views.stock_bin, name="stock-bin"),
    path("sheets/stock/<number:pk>/trial.pdf", views.stock_trial, name="stock-trial"),
    path("sheets/<number:pk>/", views.sheet, name="sheet"),
    path("sheets/<number:pk>/sheet.pdf", views.sheet_file, name="sheet-file"),
    path("sheets/<number:pk>/again/", views.sheet_again, name="sheet-again"),
    path("sheets/<number:pk>/remove/", views.sheet_remove, name="sheet-remove"),
    path("lists/<number:pk>/sheet/", sheet_views.wants_sheet, name="wants-sheet"),
    path("list/<str:token>/wants.pdf", sheet_views.shared_list_sheet, name="shared-list-sheet"),
]
