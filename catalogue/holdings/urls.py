from __future__ import annotations

from django.urls import path

from catalogue.holdings import views

urlpatterns = [
    path("holdings/", views.holdings, name="holdings"),
    path("holdings/<int:pk>/", views.holding, name="holding"),
    path("holdings/<int:pk>/card/", views.holding_card, name="holding-card"),
]
