from __future__ import annotations

from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import LogoutView
from django.urls import path

from catalogue.members import account, club, link_pages
from catalogue.members.door import device_views, factor_views
from catalogue.members.door.views import SignInView, sign_in_code

urlpatterns = [
    path("sign-in/", SignInView.as_view(), name="sign-in"),
    path("sign-in/code/", sign_in_code, name="sign-in-code"),
    path("sign-out/", login_not_required(LogoutView.as_view()), name="sign-out"),
    path("forgot/", link_pages.forgot, name="forgot"),
    path("link/<str:token>/", link_pages.handed_link, name="handed-link"),
    path("account/", account.account, name="account"),
    path("account/password/", account.account_password, name="account-password"),
    path("account/second-factor/", factor_views.second_factor, name="account-second-factor"),
    path("account/devices/<number:pk>/end/", device_views.device_end, name="device-end"),
    path("account/devices/end/", device_views.devices_end, name="devices-end"),
    path("account/notices/", device_views.notices_put_away, name="notices-put-away"),
    path("account/erase/", account.account_erase, name="account-erase"),
    path("club/", club.club, name="club"),
    path("club/invite/", club.invite, name="invite"),
    path(
        "club/invitations/<number:pk>/withdraw/",
        club.withdraw_invitation,
        name="withdraw-invitation",
    ),
    path("club/<number:pk>/", club.member, name="member"),
    path("club/<number:pk>/role/", club.member_role, name="member-role"),
    path("club/<number:pk>/sign-in/", club.member_sign_in, name="member-sign-in"),
    path("club/<number:pk>/second-factor/", club.remove_second_factor, name="remove-second-factor"),
    path("club/<number:pk>/reset/", club.reset_member, name="reset-member"),
]
