"""What the room has, under /api/."""

from django.urls import path

from . import bars, bodies, glazes

urlpatterns = [
    path("clay-bodies/", bodies.ClayBodies.as_view(), name="api_clay_bodies"),
    path("clay-bodies/<uuid:pk>/", bodies.OneClayBody.as_view(), name="api_clay_body"),
    path("clay-bodies/<uuid:pk>/test-bars/", bars.BodyBars.as_view(), name="api_test_bars"),
    path(
        "clay-bodies/<uuid:pk>/shrinkage/",
        bars.BodyShrinkage.as_view(),
        name="api_clay_body_shrinkage",
    ),
    path("test-bars/<uuid:pk>/", bars.OneBar.as_view(), name="api_test_bar"),
    path("glazes/", glazes.Glazes.as_view(), name="api_glazes"),
    path("glazes/<uuid:pk>/", glazes.OneGlaze.as_view(), name="api_glaze"),
]
