from __future__ import annotations

from django.urls import path

from catalogue.wants import list_views, views

urlpatterns = [
    path("wants/", views.wants, name="wants"),
    path("aims/new/", views.aim_form, name="aim-new"),
    path("aims/<number:pk>/", views.aim, name="aim"),
    path("aims/<number:pk>/edit/", views.aim_form, name="aim-edit"),
    path("aims/<number:pk>/remove/", views.aim_remove, name="aim-remove"),
    path("aims/<number:pk>/list/", views.aim_list, name="aim-list"),
    path("wants/new/", views.want_form, name="want-new"),
    path("wants/<number:pk>/", views.want_form, name="want-edit"),
    path("wants/<number:pk>/remove/", views.want_remove, name="want-remove"),
    path("club/<number:pk>/wants/", views.member_wants, name="member-wants"),
    path("holdings/<number:pk>/promise/", views.reserve_spare, name="reserve"),
    path("holdings/<number:pk>/ask/", views.spare_ask, name="spare-ask"),
    path("promises/<number:pk>/end/", views.reservation_end, name="reservation-end"),
    path("lists/new/", list_views.want_list_form, name="want-list-new"),
    path("lists/<number:pk>/", list_views.want_list, name="want-list"),
    path("lists/<number:pk>/edit/", list_views.want_list_form, name="want-list-edit"),
    path("lists/<number:pk>/remove/", list_views.want_list_remove, name="want-list-remove"),
    path("lists/<number:pk>/share/", list_views.want_list_share, name="want-list-share"),
    path("lists/<number:pk>/unshare/", list_views.want_list_unshare, name="want-list-unshare"),
    path("lists/<number:pk>/wants.csv", list_views.want_list_csv, name="want-list-csv"),
    path("list/<str:token>/", list_views.shared_list, name="shared-list"),
    path("list/<str:token>/wants.csv", list_views.shared_list_csv, name="shared-list-csv"),
]
