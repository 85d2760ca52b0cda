"""Pages that cross subjects."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
