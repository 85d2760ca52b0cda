"""The clay room: lots and the ledger, in grams, under /api/."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
