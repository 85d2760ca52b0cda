"""From a brief to an approved plan."""

from django.urls import path

from .views import approving, choosing, drawings, plans

urlpatterns = [
    path("pieces/<uuid:pk>/thumbnails/", drawings.thumbnails_add, name="thumbnails_add"),
    path("pieces/<uuid:pk>/refinements/", drawings.refinements_add, name="refinements_add"),
    path("thumbnails/<uuid:pk>/", drawings.thumbnail, name="thumbnail"),
    path("thumbnails/<uuid:pk>/move/", drawings.thumbnail_move, name="thumbnail_move"),
    path("drawings/<slug:kind>/<uuid:pk>/", drawings.drawing_card, name="drawing_card"),
    path(
        "drawings/<slug:kind>/<uuid:pk>/withdraw/",
        drawings.drawing_withdraw,
        name="drawing_withdraw",
    ),
    path(
        "drawings/<slug:kind>/<uuid:pk>/bring-back/",
        drawings.drawing_bring_back,
        name="drawing_bring_back",
    ),
    path(
        "drawings/<slug:kind>/<uuid:pk>/<slug:size>.jpg",
        drawings.drawing_image,
        name="drawing_image",
    ),
    path("pieces/<uuid:pk>/choose/", choosing.choose, name="choose"),
    path("pieces/<uuid:pk>/let-choose/", choosing.let_choose, name="let_choose"),
    path("pieces/<uuid:pk>/plan/", plans.plan, name="plan"),
    path("pieces/<uuid:pk>/plan/live/", plans.plan_live, name="plan_live"),
    path("pieces/<uuid:pk>/plan/begin-again/", plans.plan_begin_again, name="plan_begin_again"),
    path("plans/<uuid:pk>/take-back/", plans.plan_take_back, name="plan_take_back"),
    path("plans/", approving.plans, name="plans"),
    path("plans/<uuid:pk>/", approving.plan_review, name="plan_review"),
]
