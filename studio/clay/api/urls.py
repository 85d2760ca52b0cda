"""The clay room: lots and the ledger, in grams, under /api/."""

from django.urls import path

from . import moving, reading, talks

urlpatterns = [
    path("lots/", reading.Lots.as_view(), name="api_lots"),
    path("clay-entries/", reading.Entries.as_view(), name="api_clay_entries"),
    path("clay-deliveries/", moving.Deliveries.as_view(), name="api_clay_deliveries"),
    path("clay-issues/", moving.Issues.as_view(), name="api_clay_issues"),
    path(
        "assignments/<uuid:pk>/clay-issues/",
        moving.ClassIssues.as_view(),
        name="api_assignment_clay_issues",
    ),
    path("clay-returns/", moving.Returns.as_view(), name="api_clay_returns"),
    path("clay-reclaims/", moving.Reclaims.as_view(), name="api_clay_reclaims"),
    path("clay-write-offs/", moving.WriteOffs.as_view(), name="api_clay_write_offs"),
    path("clay-corrections/", moving.Corrections.as_view(), name="api_clay_corrections"),
    path("safety-talks/", talks.SafetyTalks.as_view(), name="api_safety_talks"),
]
