"""The clay room: lots and the ledger, in grams."""

from django.urls import path

from .views import allowance, issue_list, moving, orders, reclaim, room, scales, talks

urlpatterns = [
    path("clay-room/", room.clay_room, name="clay_room"),
    path("clay-room/allowance/", allowance.allowances, name="allowances"),
    path("clay-room/delivery/", moving.delivery, name="delivery"),
    path("clay-room/issue/", moving.issue, name="issue"),
    path("clay-room/return/", moving.clay_return, name="clay_return"),
    path("clay-room/issue-list/<uuid:pk>/", issue_list.issue_list, name="issue_list"),
    path("clay-room/issue-list/<uuid:pk>/pdf/", issue_list.issue_list_pdf, name="issue_list_pdf"),
    path("clay-room/lots/<uuid:pk>/", room.lot, name="lot"),
    path("clay-room/lots/<uuid:pk>/reclaim/", reclaim.reclaim, name="reclaim"),
    path("clay-room/reclaim/", reclaim.reclaims, name="reclaims"),
    path("clay-room/reclaim/<uuid:pk>/", reclaim.batch, name="batch"),
    path("clay-room/orders/", orders.clay_orders, name="clay_orders"),
    path("clay-room/orders/new/", orders.clay_order_new, name="clay_order_new"),
    path("clay-room/orders/<uuid:pk>/came/", orders.clay_order_came, name="clay_order_came"),
    path(
        "clay-room/orders/<uuid:pk>/call-off/",
        orders.clay_order_call_off,
        name="clay_order_call_off",
    ),
    path("clay-room/bodies/<uuid:pk>/pack/", orders.clay_pack, name="clay_pack"),
    path("clay-room/lots/<uuid:pk>/write-off/", moving.write_off, name="write_off"),
    path("clay-room/ledger/", room.ledger, name="ledger"),
    path("clay-room/ledger/<uuid:pk>/correct/", moving.correct, name="correct"),
    path("briefs/<uuid:pk>/allowance/", allowance.brief_allowance, name="brief_allowance"),
    path("clay-room/scales/", scales.scales, name="scales"),
    path("clay-room/scales/<uuid:pk>/undo/", scales.scales_undo, name="scales_undo"),
    path("clay-room/talks/", talks.talk_rule, name="talk_rule"),
    path("clay-room/talks/<uuid:pk>/", talks.talks, name="talks"),
]
