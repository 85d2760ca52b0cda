"""Addresses of people, classes and dates. The name is the view's and the template's."""

from django.urls import path

from .views import signing_in

urlpatterns = [
    path("sign-in/", signing_in.sign_in, name="sign_in"),
    path("sign-in/<slug:slug>/", signing_in.sign_in, name="sign_in"),
    path("sign-out/", signing_in.sign_out, name="sign_out"),
    path("password/", signing_in.password, name="password"),
]
