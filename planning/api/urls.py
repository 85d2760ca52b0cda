"""From a brief to an approved plan, under /api/."""

from django.urls import path

from .compute import PlanCompute

urlpatterns = [
    path("compute/plan/", PlanCompute.as_view(), name="api_compute_plan"),
]
