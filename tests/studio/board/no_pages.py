"""Addresses of a service on which no page stands."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
