"""The kiln room: programs, firing slots, loads, the firing log, under /api/."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
