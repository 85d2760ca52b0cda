"""Pages that cross subjects."""

from django.urls import path

from .views import adjustment, assignments, classes, piece, today

urlpatterns = [
    path("", today.home, name="home"),
    path("today/", today.today, name="today"),
    path("safety/", today.safety, name="safety"),
    path("classes/", classes.classes, name="classes"),
    path("classes/<uuid:pk>/", classes.section, name="class"),
    path("classes/<uuid:pk>/shown/", classes.class_shown, name="class_shown"),
    path("pieces/", piece.pieces, name="pieces"),
    path("pieces/<uuid:pk>/", piece.piece, name="piece"),
    path("pieces/<uuid:pk>/seen/", piece.piece_seen, name="piece_seen"),
    path("assignments/<uuid:pk>/", assignments.assignment, name="assignment"),
    path(
        "assignments/<uuid:pk>/students/<uuid:student>/",
        adjustment.adjustment,
        name="adjustment",
    ),
    path(
        "assignments/<uuid:pk>/students/<uuid:student>/drop/",
        adjustment.adjustment_drop,
        name="adjustment_drop",
    ),
]
