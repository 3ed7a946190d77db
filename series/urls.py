from __future__ import annotations

from django.urls import path

from series.faces import views as faces

urlpatterns = [
    path("types/<slug:key>/<str:side>/<str:size>.webp", faces.face_picture, name="face-picture"),
]
