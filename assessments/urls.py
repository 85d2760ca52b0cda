"""Rubrics, marking, results."""

from django.urls import path

from .views import files, marking, releasing, rubrics

urlpatterns = [
    path("rubrics/", rubrics.rubrics, name="rubrics"),
    path("rubrics/new/", rubrics.rubric_new, name="rubric_new"),
    path("rubrics/<uuid:pk>/", rubrics.rubric, name="rubric"),
    path("rubrics/<uuid:pk>/edit/", rubrics.rubric_edit, name="rubric_edit"),
    path("rubrics/<uuid:pk>/put-away/", rubrics.rubric_put_away, name="rubric_put_away"),
    path("rubrics/<uuid:pk>/take-out/", rubrics.rubric_take_out, name="rubric_take_out"),
    path("assignments/<uuid:pk>/rubric/", rubrics.assignment_rubric, name="assignment_rubric"),
    path("marking/", marking.marking, name="marking"),
    path("marking/<uuid:pk>/", marking.marking_class, name="marking_class"),
    path("marking/<uuid:pk>/release/", releasing.marking_release, name="marking_release"),
    path("marking/<uuid:pk>/marks.csv", files.marks_csv, name="marks_csv"),
    path("marking/<uuid:pk>/results.zip", files.gradebook_zip, name="gradebook_zip"),
    path("marking/<uuid:pk>/sheet/", files.mark_sheet_pdf, name="mark_sheet_pdf"),
    path("marking/<uuid:pk>/reports/", files.reports_pdf, name="reports_pdf"),
    path("marking/pieces/<uuid:pk>/", marking.marking_piece, name="marking_piece"),
    path("marking/pieces/<uuid:pk>/draft/", marking.marking_draft, name="marking_draft"),
    path("pieces/<uuid:pk>/result/", releasing.result, name="result"),
    path("pieces/<uuid:pk>/result/again/", releasing.release_again, name="release_again"),
    path("pieces/<uuid:pk>/report/", files.report_pdf, name="report_pdf"),
]
