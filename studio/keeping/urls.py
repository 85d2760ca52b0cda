"""Addresses of keeping and erasing. The name is the view's and the template's."""

from django.urls import path

from . import views

urlpatterns = [
    path("people/past-keeping/", views.past_keeping, name="past_keeping"),
    path("people/<uuid:pk>/erase/", views.person_erase, name="person_erase"),
]
