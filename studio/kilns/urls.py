"""The kiln room: programs, firing slots, loads, the firing log."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
