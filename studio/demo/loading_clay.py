"""Loads the demo's clay room: deliveries, what each class was given, what came back."""

from datetime import datetime
from decimal import Decimal

from planning.models import Assignment
from studio.clay.models import Lot, LotKind
from studio.clay.services import (
    IssueRow,
    issue_class_list,
    place_order,
    put_out_to_dry,
    receive_delivery,
    reclaim,
    record_talk,
    return_bucket,
    set_pack,
    set_talk_rule,
    write_off,
)
from studio.demo.loading_people import School
from studio.demo.loading_pieces import Work
from studio.demo.material import Material
from studio.people.models import User
from studio.room.models import ClayBody

CURRENCY = "EUR"
SCALE_G = 50  # nobody weighs a lump of clay finer than this


def load_deliveries(material: Material, school: School) -> None:
    """What came, and what had to be thrown away."""
    bodies = {body.name: body for body in ClayBody.objects.filter(studio=school.studio)}
    for row in material.kilns["deliveries"]:
        day = school.clock.day(row["on"])
        receive_delivery(
            studio=school.studio,
            body=bodies[row["body"]],
            bags=row["bags"],
            bag_g=row["bag_g"],
            label=row["label"],
            came_on=day,
            by=school.staff[row["by"]],
            at=school.clock.at(day, 11),
        )
    for row in material.kilns["write_offs"]:
        write_off(
            lot=_lot(school, row["body"], LotKind.BOUGHT),
            grams=row["grams"],
            reason=row["reason"],
            by=school.staff[row["by"]],
            at=school.clock.at(school.clock.day(row["on"]), 15),
        )


def load_talks(school: School) -> None:
    """Everybody heard the safety talk in the first week; no clay before it."""
    set_talk_rule(studio=school.studio, talk_first=True, by=school.head)
    on = school.clock.day(-62)
    at = school.clock.at(on, 12)
    record_talk(students=list(school.students.values()), on=on, by=school.head, at=at)


def issue(works: list[Work], assignment: Assignment, *, by: User, at: datetime) -> None:
    """A class's clay, by its approved plans, in one post."""
    lot = Lot.objects.to_issue().filter(body=assignment.clay_body)[0]
    rows = []
    for work in works:
        planned_g = work.row.plans.get(state="approved").issue_g or 0
        rows.append(IssueRow(work.row, lot, round(planned_g / SCALE_G) * SCALE_G))
    issue_class_list(assignment=assignment, rows=rows, by=by, at=at)


def load_returns(material: Material, school: School) -> None:
    """Buckets of leftovers, and what became of them."""
    bodies = {body.name: body for body in ClayBody.objects.filter(studio=school.studio)}
    for row in material.kilns["buckets"]:
        section = school.sections[row["class"]]
        return_bucket(
            section=section,
            body=bodies[row["body"]],
            grams=row["grams"],
            by=school.head,
            at=school.clock.at(school.clock.day(row["on"]), 12),
        )
    for row in material.kilns["reclaims"]:
        reclaim(
            returned_lot=_lot(school, row["body"], LotKind.RETURNED),
            taken_g=row["taken_g"],
            ready_g=row["ready_g"],
            by=school.staff[row["by"]],
            at=school.clock.at(school.clock.day(row["on"]), 14),
        )


def load_supply(material: Material, school: School) -> None:
    """What dries, how clay is sold, and what is on its way."""
    bodies = {body.name: body for body in ClayBody.objects.filter(studio=school.studio)}
    for row in material.kilns["batches"]:
        put_out_to_dry(
            returned_lot=_lot(school, row["body"], LotKind.RETURNED),
            taken_g=row["taken_g"],
            ready_on=school.clock.day(row["ready_on"]),
            by=school.staff[row["by"]],
            at=school.clock.at(school.clock.day(row["on"]), 15),
        )
    for row in material.kilns["packs"]:
        values = {
            "bag_g": row["bag_g"],
            "bags_in_box": row["bags_in_box"],
            "sold_singly": True,
            "bag_price": Decimal(row["bag_price"]),
            "box_price": Decimal(row["box_price"]),
            "currency": CURRENCY,
            "days_to_come": row["days_to_come"],
        }
        set_pack(body=bodies[row["body"]], by=school.head, values=values)
    for row in material.kilns["orders"]:
        on = school.clock.day(row["on"])
        place_order(
            body=bodies[row["body"]],
            bags=row["bags"],
            bag_g=row["bag_g"],
            cost=Decimal(row["cost"]),
            currency=CURRENCY,
            note=row["note"],
            ordered_on=on,
            expected_on=school.clock.day(row["expected_on"]),
            by=school.staff[row["by"]],
            at=school.clock.at(on, 10),
        )


def _lot(school: School, body: str, kind: LotKind) -> Lot:
    return Lot.objects.filter(studio=school.studio, body__name=body, kind=kind)[0]
