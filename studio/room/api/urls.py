"""What the room has, under /api/."""

from django.urls import path

from . import views

urlpatterns = [
    path("clay-bodies/", views.ClayBodies.as_view(), name="api_clay_bodies"),
    path("clay-bodies/<uuid:pk>/", views.OneClayBody.as_view(), name="api_clay_body"),
]
