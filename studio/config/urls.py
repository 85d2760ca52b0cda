"""All addresses. Each app lists its own; names are the same as view and file names."""

from django.urls import include, path

urlpatterns = [
    path("", include("studio.people.urls")),
    path("", include("studio.room.urls")),
    path("", include("planning.urls")),
    path("", include("studio.ware.urls")),
    path("", include("studio.bench.urls")),
    path("", include("studio.clay.urls")),
    path("", include("studio.kilns.urls")),
    path("", include("assessments.urls")),
    path("", include("studio.board.urls")),
    path("", include("studio.keeping.urls")),
    path("api/", include("studio.config.api")),
]

handler404 = "studio.web.errors.not_found"
