"""The physical pot: stages, checks, places, flaws and losses."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
