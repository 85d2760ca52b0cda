"""The clay room: lots and the ledger, in grams, under /api/."""

from django.urls import path

from . import moving, orders, reading, talks

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
    path("clay-orders/", orders.ClayOrders.as_view(), name="api_clay_orders"),
    path(
        "clay-orders/<uuid:pk>/arrival/",
        orders.OrderArrival.as_view(),
        name="api_clay_order_arrival",
    ),
    path(
        "clay-orders/<uuid:pk>/call-off/",
        orders.OrderCallOff.as_view(),
        name="api_clay_order_call_off",
    ),
    path("clay-batches/", orders.ClayBatches.as_view(), name="api_clay_batches"),
    path("clay-batches/<uuid:pk>/end/", orders.BatchEnd.as_view(), name="api_clay_batch_end"),
    path("safety-talks/", talks.SafetyTalks.as_view(), name="api_safety_talks"),
]
