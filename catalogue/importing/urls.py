from __future__ import annotations

from django.urls import path

from catalogue.importing import settle_views, views

urlpatterns = [
    path("imports/", views.imports, name="imports"),
    path("imports/<number:pk>/", views.import_page, name="import"),
    path("imports/<number:pk>/columns/", views.import_columns, name="import-columns"),
    path("imports/<number:pk>/settle/", settle_views.import_settle, name="import-settle"),
    path("imports/<number:pk>/reopen/", settle_views.import_reopen, name="import-reopen"),
    path("imports/<number:pk>/answer/", settle_views.import_answer, name="import-answer"),
    path("imports/<number:pk>/take/", views.import_take, name="import-take"),
    path("imports/<number:pk>/back/", views.import_back, name="import-back"),
    path("imports/<number:pk>/again/", views.import_again, name="import-again"),
    path("imports/<number:pk>/remove/", views.import_remove, name="import-remove"),
    path("columns/<number:pk>/forget/", views.mapping_forget, name="mapping-forget"),
]
