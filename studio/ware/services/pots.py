"""A pot begins, with the clay for its plan."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from planning.models import Piece, PlanState, PlanVersion
from planning.services.drawings import locked_piece
from studio.errors import Conflict, Refused
from studio.people.audit import record
from studio.people.models import User
from studio.ware.models import Pot, Stage, StageEntry


def begin_pot(*, piece: Piece, by: User, at: datetime) -> Pot:
    """The pot of the approved plan; after a loss another of the same piece, numbered on."""
    if not Piece.objects.visible_to(by).filter(pk=piece.pk).exists():
        raise PermissionDenied
    with transaction.atomic():
        locked_piece(piece)
        plan = _approved_plan(piece)
        if Pot.objects.standing().filter(piece=piece).exists():
            raise Conflict(_("The pot of this piece is begun already."))
        last = piece.pots.aggregate(last=Max("number"))["last"] or 0
        pot = Pot.objects.create(
            studio=piece.studio,
            piece=piece,
            number=last + 1,
            plan=plan,
            stage=Stage.WET,
            stage_at=at,
            begun_at=at,
        )
        StageEntry.objects.create(pot=pot, stage=Stage.WET, at=at, by=by)
        record(
            studio=piece.studio,
            by=by,
            action="pot begun",
            subject=pot,
            after={"piece": str(piece.pk), "number": pot.number, "plan": plan.number},
        )
    return pot


def _approved_plan(piece: Piece) -> PlanVersion:
    approved = PlanVersion.objects.filter(piece=piece, state=PlanState.APPROVED)
    plan = approved.order_by("-number").first()
    if plan is None:
        raise Refused(_("A pot begins from an approved plan. This piece has none yet."))
    return plan
