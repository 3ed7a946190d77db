from __future__ import annotations

from django.urls import path

from catalogue.history import views

urlpatterns = [
    path("changes/", views.changes, name="changes"),
    path("changes/<number:pk>/", views.change, name="change"),
    path("changes/<number:pk>/take-back/", views.change_take_back, name="change-take-back"),
    path("holdings/<number:pk>/undo/", views.holding_undo, name="holding-undo"),
    *(
        path(f"{kind.address}/history/", views.history_view(kind), name=f"{name}-history")
        for name, kind in views.KINDS.items()
    ),
]
