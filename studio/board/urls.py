"""Pages that cross subjects."""

from django.urls import path

from .views import adjustment, assignments, class_sets, classes, papers, piece, prints, today

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
    path("pieces/<uuid:pk>/print/", papers.plan_papers, name="plan_papers"),
    path("pieces/<uuid:pk>/print/<slug:kind>/", papers.plan_paper_pdf, name="plan_paper_pdf"),
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
    path("prints/", prints.prints, name="prints"),
    path("prints/shelf-labels/", prints.shelf_labels_pdf, name="shelf_labels_pdf"),
    path("classes/<uuid:pk>/cover-list/pdf/", prints.cover_list_pdf, name="cover_list_pdf"),
    path("classes/<uuid:pk>/substitute/pdf/", prints.substitute_pdf, name="substitute_pdf"),
    path("assignments/<uuid:pk>/plans/print/", class_sets.class_set, name="class_set"),
    path(
        "assignments/<uuid:pk>/plans/print/<uuid:job>/",
        class_sets.class_set_progress,
        name="class_set_progress",
    ),
    path(
        "assignments/<uuid:pk>/plans/print/<uuid:job>/pdf/",
        class_sets.class_set_pdf,
        name="class_set_pdf",
    ),
    path("assignments/<uuid:pk>/labels/", prints.base_labels, name="base_labels"),
    path("assignments/<uuid:pk>/labels/pdf/", prints.base_labels_pdf, name="base_labels_pdf"),
]
