"""The physical pot: stages, checks, places, flaws and losses, under /api/."""

from django.urls import path

from . import checks, places, views, weighing

urlpatterns = [
    path("pots/", views.Pots.as_view(), name="api_pots"),
    path("pots/stage/", views.ManyStages.as_view(), name="api_pots_stage"),
    path("pots/place/", views.ManyPlaces.as_view(), name="api_pots_place"),
    path("pots/cover/", views.ManyCovers.as_view(), name="api_pots_cover"),
    path("pots/dryness/", views.ManyDrynessChecks.as_view(), name="api_pots_dryness"),
    path("pots/<uuid:pk>/", views.OnePot.as_view(), name="api_pot"),
    path("pots/<uuid:pk>/stages/", views.PotStages.as_view(), name="api_pot_stages"),
    path("pots/<uuid:pk>/built/", views.PotBuilt.as_view(), name="api_pot_built"),
    path("pots/<uuid:pk>/dryness/", views.PotDrynessChecks.as_view(), name="api_pot_dryness"),
    path("pots/<uuid:pk>/greenware/", checks.GreenwareChecks.as_view(), name="api_greenware"),
    path(
        "pots/<uuid:pk>/greenware/take-back/",
        checks.GreenwareTakeBack.as_view(),
        name="api_greenware_take_back",
    ),
    path("pots/<uuid:pk>/glaze-checks/", checks.GlazeChecks.as_view(), name="api_glaze_checks"),
    path("pots/<uuid:pk>/flaws/", checks.Flaws.as_view(), name="api_pot_flaws"),
    path("pots/<uuid:pk>/losses/", checks.Losses.as_view(), name="api_pot_losses"),
    path("pots/<uuid:pk>/found/", checks.PotFound.as_view(), name="api_pot_found"),
    path("pots/<uuid:pk>/weighings/", weighing.Weighings.as_view(), name="api_weighings"),
    path("pots/<uuid:pk>/photos/", checks.PotPhotos.as_view(), name="api_pot_photos"),
    path("pieces/<uuid:pk>/pots/", views.PiecePots.as_view(), name="api_piece_pots"),
    path("flaws/<uuid:pk>/cause/", checks.FlawCause.as_view(), name="api_flaw_cause"),
    path("losses/<uuid:pk>/cause/", checks.LossCause.as_view(), name="api_loss_cause"),
    path("places/", places.Places.as_view(), name="api_places"),
    path("places/<uuid:pk>/", places.OnePlace.as_view(), name="api_place"),
]
