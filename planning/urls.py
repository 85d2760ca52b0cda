"""From a brief to an approved plan."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
