"""The API's addresses, under /api/."""

from django.urls import include, path
from drf_spectacular.views import SpectacularAPIView

urlpatterns = [
    path("schema/", SpectacularAPIView.as_view(), name="api_schema"),
    path("", include("studio.people.api.urls")),
    path("", include("studio.room.api.urls")),
    path("", include("planning.api.urls")),
    path("", include("studio.ware.api.urls")),
    path("", include("studio.bench.api.urls")),
    path("", include("studio.clay.api.urls")),
    path("", include("studio.kilns.api.urls")),
    path("", include("assessments.api.urls")),
]
