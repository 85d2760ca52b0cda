"""The clay room: lots and the ledger, in grams."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
