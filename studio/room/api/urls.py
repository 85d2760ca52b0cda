"""What the room has, under /api/."""

from django.urls import path

from . import bodies, glazes

urlpatterns = [
    path("clay-bodies/", bodies.ClayBodies.as_view(), name="api_clay_bodies"),
    path("clay-bodies/<uuid:pk>/", bodies.OneClayBody.as_view(), name="api_clay_body"),
    path("glazes/", glazes.Glazes.as_view(), name="api_glazes"),
    path("glazes/<uuid:pk>/", glazes.OneGlaze.as_view(), name="api_glaze"),
]
