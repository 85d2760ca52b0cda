"""A pot at the bench, under /api/."""

from django.urls import path

from . import views

urlpatterns = [
    path("pots/<uuid:pk>/rows/", views.PotRows.as_view(), name="api_pot_rows"),
    path("pots/<uuid:pk>/wall/", views.PotWall.as_view(), name="api_pot_wall"),
    path("pots/<uuid:pk>/build-checks/", views.BuildChecks.as_view(), name="api_build_checks"),
    path("pots/<uuid:pk>/carry-ons/", views.CarryOns.as_view(), name="api_carry_ons"),
    path(
        "build-checks/<uuid:pk>/strike/",
        views.BuildCheckStrike.as_view(),
        name="api_build_check_strike",
    ),
    path(
        "build-checks/<uuid:pk>/carry-on/",
        views.BuildCheckCarryOn.as_view(),
        name="api_build_check_carry_on",
    ),
    path("carry-ons/<uuid:pk>/agree/", views.CarryOnAgree.as_view(), name="api_carry_on_agree"),
    path(
        "carry-ons/<uuid:pk>/decline/",
        views.CarryOnDecline.as_view(),
        name="api_carry_on_decline",
    ),
    path(
        "carry-ons/<uuid:pk>/take-back/",
        views.CarryOnTakeBack.as_view(),
        name="api_carry_on_take_back",
    ),
]
