from __future__ import annotations

from django.urls import path

from catalogue.exports import views

urlpatterns = [
    path("holdings/export.<slug:ending>", views.holdings_export, name="holdings-export"),
    path("account/export/", views.account_export, name="account-export"),
]
