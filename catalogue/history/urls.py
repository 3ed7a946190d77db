from __future__ import annotations

from django.urls import path

from catalogue.history import views

urlpatterns = [
    path("changes/", views.changes, name="changes"),
    path("changes/<number:pk>/", views.change, name="change"),
    path("changes/<number:pk>/take-back/", views.change_take_back, name="change-take-back"),
    path("holdings/<number:pk>/undo/", views.holding_undo, name="holding-undo"),
    *(
        path(f"{kind.address}/history/", views.history_view(name, kind), name=f"{name}-history")
        for name, kind in views.KINDS.items()
    ),
    *(
        path(
            f"{views.KINDS[name].address}/undo/",
            views.undo_view(name, views.KINDS[name]),
            name=f"{name}-undo",
        )
        for name in views.OF_CATALOGUE
    ),
]
