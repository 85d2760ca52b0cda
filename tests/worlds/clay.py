"""Lots and entries of the clay room."""

from collections.abc import Mapping
from typing import Any

from studio.clay.models import Lot, LotKind
from studio.clay.services import (
    issue_clay,
    place_order,
    put_out_to_dry,
    receive_delivery,
    record_talk,
    return_bucket,
)
from studio.room.models import ClayBody
from studio.ware.models import Pot
from tests.cast import NOW, TODAY, School


def things(cast: School, made: Mapping[str, str]) -> dict[str, Any]:
    """A delivery, clay for the pot under way, and the bucket of its class."""
    body = ClayBody.objects.get(pk=made["body"])
    pot = Pot.objects.get(pk=made["pot"])
    lot = receive_delivery(
        studio=cast.studio,
        body=body,
        bags=6,
        bag_g=12_500,
        label="Note 2207",
        came_on=TODAY,
        by=cast.technician,
        at=NOW,
    )
    record_talk(students=[cast.student], on=TODAY, by=cast.teacher, at=NOW)
    entry = issue_clay(pot=pot, lot=lot, grams=1200, by=cast.teacher, at=NOW)
    return_bucket(section=cast.section, body=body, grams=1100, by=cast.teacher, at=NOW)
    returned = Lot.objects.get(studio=cast.studio, kind=LotKind.RETURNED)
    batch = put_out_to_dry(
        returned_lot=returned, taken_g=300, ready_on=TODAY, by=cast.teacher, at=NOW
    )
    order = place_order(
        body=body,
        bags=4,
        bag_g=12_500,
        ordered_on=TODAY,
        expected_on=TODAY,
        by=cast.technician,
        at=NOW,
    )
    return {
        "lot": lot,
        "returned_lot": returned,
        "clay_entry": entry,
        "clay_batch": batch,
        "clay_order": order,
    }
