"""What the room has."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
