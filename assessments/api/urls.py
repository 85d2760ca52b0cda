"""Criteria, rubrics, marks and results, under /api/."""

from django.urls import path

from . import adjustments, marks, rubrics

urlpatterns = [
    path("rubrics/", rubrics.Rubrics.as_view(), name="api_rubrics"),
    path("rubrics/<uuid:pk>/", rubrics.OneRubric.as_view(), name="api_rubric"),
    path(
        "rubrics/<uuid:pk>/versions/",
        rubrics.RubricVersions.as_view(),
        name="api_rubric_versions",
    ),
    path(
        "assignments/<uuid:pk>/rubric/",
        rubrics.RubricOfAssignment.as_view(),
        name="api_assignment_rubric",
    ),
    path(
        "assignments/<uuid:pk>/release/",
        marks.AssignmentRelease.as_view(),
        name="api_assignment_release",
    ),
    path("pieces/<uuid:pk>/markings/", marks.PieceMarkings.as_view(), name="api_piece_markings"),
    path("pieces/<uuid:pk>/marking/", marks.OwnMarking.as_view(), name="api_piece_marking"),
    path("pieces/<uuid:pk>/results/", marks.PieceResults.as_view(), name="api_piece_results"),
    path("results/", marks.Results.as_view(), name="api_results"),
    path("criteria/", adjustments.Criteria.as_view(), name="api_criteria"),
    path(
        "assignments/<uuid:pk>/students/<uuid:student>/adjustment/",
        adjustments.StudentAdjustment.as_view(),
        name="api_adjustment",
    ),
]
