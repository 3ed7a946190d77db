from __future__ import annotations

from django.urls import path

from valuation.estimates import sources, views
from valuation.estimates.worth_page import worth_page
from valuation.schedules import views as schedules

urlpatterns = [
    path("worth/", worth_page, name="worth"),
    path("worth/values/new/", views.value_form, name="valuation-new"),
    path("worth/values/<number:pk>/", views.value_form, name="valuation-edit"),
    path("worth/values/<number:pk>/bin/", views.value_bin, name="valuation-bin"),
    path("worth/values/<number:pk>/back/", views.value_take_back, name="valuation-take-back"),
    path("worth/sources/", sources.source_list, name="price-sources"),
    path("worth/sources/new/", sources.source_form, name="price-source-new"),
    path("worth/sources/<number:pk>/", sources.source_form, name="price-source-edit"),
    path("worth/sources/<number:pk>/bin/", sources.source_bin, name="price-source-bin"),
    path("schedules/", schedules.schedule_list, name="schedules"),
    path("schedules/new/", schedules.schedule_new, name="schedule-new"),
    path("schedules/<number:pk>/", schedules.schedule_page, name="schedule"),
    path("schedules/<number:pk>/schedule.csv", schedules.schedule_csv, name="schedule-csv"),
    path("schedules/<number:pk>/delete/", schedules.schedule_delete, name="schedule-delete"),
]
