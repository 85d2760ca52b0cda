"""What the room has."""

from django.urls import path

from . import views

urlpatterns = [
    path("clay/", views.bodies, name="bodies"),
    path("clay/new/", views.body_new, name="body_new"),
    path("clay/<uuid:pk>/", views.body_edit, name="body_edit"),
    path("clay/<uuid:pk>/retire/", views.body_retire, name="body_retire"),
    path("clay/<uuid:pk>/bring-back/", views.body_bring_back, name="body_bring_back"),
]
