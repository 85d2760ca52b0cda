"""Criteria and what differs for a student, under /api/."""

from django.urls import path

from . import adjustments

urlpatterns = [
    path("criteria/", adjustments.Criteria.as_view(), name="api_criteria"),
    path(
        "assignments/<uuid:pk>/students/<uuid:student>/adjustment/",
        adjustments.StudentAdjustment.as_view(),
        name="api_adjustment",
    ),
]
