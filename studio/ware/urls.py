"""The physical pot: stages, checks, places, flaws and losses."""

from django.urls import path

from .views import checks, many, photos, places, pot, weighing

urlpatterns = [
    path("pots/<uuid:pk>/", pot.pot, name="pot"),
    path("pieces/<uuid:pk>/pot/", pot.pot_begin, name="pot_begin"),
    path("pots/<uuid:pk>/stage/", pot.pot_stage, name="pot_stage"),
    path("pots/<uuid:pk>/place/", pot.pot_place, name="pot_place"),
    path("pots/<uuid:pk>/cover/", pot.pot_cover, name="pot_cover"),
    path("pots/<uuid:pk>/built/", pot.pot_built, name="pot_built"),
    path("pots/<uuid:pk>/photos/", photos.pot_photos_add, name="pot_photos_add"),
    path("pots/<uuid:pk>/greenware/", checks.greenware, name="greenware"),
    path(
        "pots/<uuid:pk>/greenware/take-back/",
        checks.greenware_take_back,
        name="greenware_take_back",
    ),
    path("pots/<uuid:pk>/glaze-check/", checks.glaze_check, name="glaze_check"),
    path("pots/<uuid:pk>/flaw/", checks.pot_flaw, name="pot_flaw"),
    path("pots/<uuid:pk>/lost/", checks.pot_lost, name="pot_lost"),
    path("pots/<uuid:pk>/found/", checks.pot_found, name="pot_found"),
    path("flaws/<uuid:pk>/cause/", checks.flaw_cause, name="flaw_cause"),
    path("losses/<uuid:pk>/cause/", checks.loss_cause, name="loss_cause"),
    path("pot-photos/<uuid:pk>/", photos.pot_photo_card, name="pot_photo_card"),
    path("pot-photos/<uuid:pk>/<str:size>/", photos.pot_photo_image, name="pot_photo_image"),
    path("places/", places.places, name="places"),
    path("places/<uuid:pk>/", places.place, name="place"),
    path("places/<uuid:pk>/edit/", places.place_edit, name="place_edit"),
    path("places/<uuid:pk>/retire/", places.place_retire, name="place_retire"),
    path("places/<uuid:pk>/bring-back/", places.place_bring_back, name="place_bring_back"),
    path("places/<uuid:pk>/put/", places.place_put, name="place_put"),
    path("places/<uuid:pk>/cover/", places.place_cover, name="place_cover"),
    path("classes/<uuid:pk>/pots/", many.class_pots, name="class_pots"),
    path("classes/<uuid:pk>/cover-list/", many.cover_list, name="cover_list"),
    path("dryness/", many.dryness, name="dryness"),
    path("pots/<uuid:pk>/weigh/", weighing.weigh_drying, name="weigh_drying"),
    path("assignments/<uuid:pk>/weigh/", weighing.weigh_built, name="weigh_built"),
]
