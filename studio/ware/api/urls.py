"""The physical pot: stages, checks, places, flaws and losses, under /api/."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
