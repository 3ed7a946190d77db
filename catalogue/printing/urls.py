from __future__ import annotations

from django.urls import path

from catalogue.printing import views
from catalogue.printing.responses import sheet_pages
from catalogue.printing.want_sheets import shared_list_sheet

urlpatterns = [
    *(path(page.route, page.as_view(), name=page.name) for page in sheet_pages()),
    path("sheets/", views.sheets, name="sheets"),
    path("sheets/stock/new/", views.stock, name="stock-new"),
    path("sheets/stock/<number:pk>/", views.stock, name="stock-edit"),
    path("sheets/stock/<number:pk>/bin/", views.stock_bin, name="stock-bin"),
    path("sheets/stock/<number:pk>/trial.pdf", views.stock_trial, name="stock-trial"),
    path("sheets/<number:pk>/", views.sheet, name="sheet"),
    path("sheets/<number:pk>/sheet.pdf", views.sheet_file, name="sheet-file"),
    path("sheets/<number:pk>/again/", views.sheet_again, name="sheet-again"),
    path("sheets/<number:pk>/remove/", views.sheet_remove, name="sheet-remove"),
    path("list/<str:token>/wants.pdf", shared_list_sheet, name="shared-list-sheet"),
]
