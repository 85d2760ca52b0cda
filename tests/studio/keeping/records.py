"""A student of whom everything is recorded that can be, each text with a word nobody else says."""

from datetime import timedelta
from typing import Any

from django.apps import apps

from assessments.models import (
    Criterion,
    Level,
    MarkedLevel,
    Marking,
    Result,
    Rubric,
    RubricCriterion,
    RubricVersion,
)
from planning.models import Adjustment, LetThrough, Piece, Scan
from planning.services.plans import approve
from studio.bench.models import BuildCheck, CarryOn, WallMeasure
from studio.clay.models import Entry, Lot
from studio.keeping.fates import FATES
from studio.people.audit import record
from studio.people.models import AuditEntry, IdempotencyKey, SignInGuess, User
from studio.uploads.services import receive_image
from studio.ware.models import (
    DrynessCheck,
    Flaw,
    GlazeCheck,
    GreenwareCheck,
    Loss,
    Pot,
    PotPhoto,
    StageEntry,
)
from studio.ware.services import begin_pot
from tests.cast import NOW, TODAY, School
from tests.planning.work import a_piece_with_a_plan, photo, ready

SECRET = "quincunx"
"""Stands in every text by or about the student, and nowhere else."""
OUTLINE = [[0.0, 50.0, 50.0], [200.0, 60.0, 60.0]]
"""Of the plan beside the student's marks: height, left and right in mm."""


def everything(cast: School) -> Pot:
    """The pot of the cast's student; everything else hangs on it or on its piece."""
    plan = a_piece_with_a_plan(cast, "A pot to forget")
    approve(plan=plan, by=cast.teacher, at=NOW, note=f"Well drawn, {SECRET}.")
    pot = begin_pot(piece=plan.piece, by=cast.teacher, at=NOW)
    _of_the_pot(cast, pot)
    _marks(cast, plan.piece)
    _access(cast, plan.piece)
    Adjustment.objects.create(
        assignment=plan.piece.assignment,
        student=cast.student,
        private_reason=f"Ill, {SECRET}.",
        by=cast.teacher,
        at=NOW,
    )
    LetThrough.objects.create(piece=plan.piece, by=cast.teacher, reason=SECRET, at=NOW)
    # Staff scan; whoever did is forgotten as anybody is.
    scanned: dict[str, Any] = {"by": cast.student, "created_at": NOW, "state": "read"}
    Scan.objects.create(assignment=plan.piece.assignment, **scanned)
    _audit(cast, pot)
    for label, fate in FATES.items():
        if fate.path and fate.emptied:
            rows = apps.get_model(label)._base_manager.filter(**{fate.path: cast.student.pk})
            assert rows.exists(), f"nothing of the student's in {label}"
            rows.update(**dict.fromkeys(fate.emptied, SECRET))
    return pot


def _of_the_pot(cast: School, pot: Pot) -> None:
    said: dict[str, Any] = {"pot": pot, "at": NOW, "by": cast.teacher}
    StageEntry.objects.create(stage="wet", **said)
    sizes = {"thickest_mm": 9, "height_mm": 200, "front_mm": 190, "depth_mm": 190}
    GreenwareCheck.objects.create(code_legible=True, **sizes, **said)
    DrynessCheck.objects.create(air_dry=True, **said)
    GlazeCheck.objects.create(foot_clean=True, thickness_fits=True, **said)
    Flaw.objects.create(what=SECRET, **said)
    Loss.objects.create(kind="broken", stage="wet", found_at=NOW, **said)
    check = BuildCheck.objects.create(places=[], computation="form-3 check-1", **said)
    CarryOn.objects.create(
        pot=pot,
        check_made=check,
        after_row=4,
        standing={"height_mm": 100, "front_mm": 200},
        figures={"rows": []},
        computation="form-3 check-1",
        asked_at=NOW,
        asked_by=cast.student,
    )
    WallMeasure.objects.create(
        after_row=3, height_mm=55, wall_mm=9, said={}, computation="form-3 check-1", **said
    )
    lot = Lot.objects.create(
        studio=pot.studio, body=pot.piece.assignment.clay_body, came_on=TODAY, balance_g=10
    )
    Entry.objects.create(
        studio=pot.studio,
        lot=lot,
        kind="issue",
        grams=-500,
        balance_after_g=10,
        pot=pot,
        at=NOW,
        by=cast.teacher,
    )
    receive_image(
        studio=pot.studio,
        by=cast.teacher,
        file=photo(77, f"{SECRET}.jpg"),
        at=NOW,
        attach=lambda image: ready(
            PotPhoto.objects.create(pot=pot, image=image, occasion="building", at=NOW)  # type: ignore[arg-type]
        ),
    )


def _marks(cast: School, piece: Piece) -> None:
    rubric = Rubric.objects.create(studio=piece.studio, title="Coil pots", created_at=NOW)
    version = RubricVersion.objects.create(rubric=rubric, number=1, at=NOW)
    criterion = Criterion.objects.filter(studio=piece.studio).first() or Criterion.objects.create(
        studio=piece.studio, title="Joints", position=1
    )
    judged = RubricCriterion.objects.create(version=version, criterion=criterion, position=1)
    level = Level.objects.create(criterion=judged, points=3, descriptor="Joints hold.")
    marking = Marking.objects.create(
        piece=piece, marker=cast.teacher, version=version, changed_at=NOW
    )
    MarkedLevel.objects.create(marking=marking, criterion=judged, level=level)
    Result.objects.create(
        piece=piece,
        marking=marking,
        levels=[
            {
                "criterion": "Joints",
                "weight": "1.00",
                "points": "3.00",
                "most": "3.00",
                "descriptor": "Joints hold.",
                "note": SECRET,
                "exempt": False,
            }
        ],
        most=3,
        evidence={
            "criteria": [_evidence(piece)],
            "history": {"sentences": [SECRET], "pictures": [], "silhouette": []},
            "lost": SECRET,
        },
        released_at=NOW,
        released_by=cast.teacher,
    )


def _evidence(piece: Piece) -> dict[str, Any]:
    """As a release freezes it beside a criterion."""
    shown = PotPhoto.objects.get(pot__piece=piece)
    picture = {"kind": "pot", "pk": str(shown.pk), "caption": SECRET, "chosen": False}
    return {"sentences": [SECRET], "pictures": [picture], "silhouette": OUTLINE}


def _access(cast: School, piece: Piece) -> None:
    SignInGuess.objects.create(
        name_key=str(cast.student.pk), address="192.0.2.7", wrong=2, last_at=NOW
    )
    named, marked = {"student": cast.student.name}, {"comment": SECRET, "piece": str(piece.pk)}
    for person, key, content in (
        (cast.student, "hers", named),
        (cast.teacher, "his", named),
        (cast.teacher, "his marks", [marked]),
    ):
        IdempotencyKey.objects.create(
            person=person,
            key=key,
            request_digest="d",
            status=200,
            answer={"content": content},
            at=NOW + timedelta(days=365),
        )


def _audit(cast: School, pot: Pot) -> None:
    studio, person = cast.studio, cast.student
    record(
        studio=studio,
        by=cast.head,
        action="person edited",
        subject=person,
        before={"given_name": "Odelia", "family_name": "Amari-Rook"},
        after={"given_name": person.given_name, "family_name": person.family_name},
    )
    record(
        studio=studio,
        by=cast.teacher,
        action="flaw noted",
        subject=pot,
        after={"what": SECRET, "cause": "making", "nested": [{"note": SECRET}]},
    )
    record(
        studio=studio,
        by=cast.teacher,
        action="class list printed",
        subject=cast.section,
        after={
            "people": [person.name, "Bram Vos", "Odelia Amari-Rook"],
            "first": person.given_name,
            "words": f"Given to {person.name.upper()} at once.",
            "mode": "ode to clay",
        },
    )


def line(action: str) -> AuditEntry:
    return AuditEntry.objects.get(action=action)


def fresh(person: User) -> User:
    return User.objects.get(pk=person.pk)
