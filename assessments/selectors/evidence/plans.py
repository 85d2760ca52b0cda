"""Beside silhouette control: the plan, and what was measured while it was built and at the end."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from uuid import UUID

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from planning.models import Piece, PlanState, PlanVersion
from planning.plans.wording import check_sentence
from studio.bench.models import BuildCheck
from studio.bench.selectors.evidence import checks_in_words
from studio.units.scales import Units
from studio.ware.models import Pot
from studio.web.shown import day_text, length_text

from .records import Record, Records
from .seen import Evidence, local_day

_SIDES = ("height", "front", "depth")


def sent_plans(pieces: Sequence[Piece]) -> dict[UUID, list[PlanVersion]]:
    """By piece, all versions but drafts; one query."""
    plans: dict[UUID, list[PlanVersion]] = defaultdict(list)
    sent = PlanVersion.objects.filter(piece__in=[piece.pk for piece in pieces])
    for plan in sent.exclude(state=PlanState.DRAFT).order_by("number"):
        plans[plan.piece_id].append(plan)
    return plans


def silhouette_evidence(
    pieces: Sequence[Piece],
    plans: Mapping[UUID, list[PlanVersion]],
    pots: Mapping[UUID, list[Pot]],
    records: Mapping[UUID, Records],
    checks: Mapping[UUID, list[BuildCheck]],
) -> dict[UUID, Evidence]:
    """By piece."""
    return {
        piece.pk: _evidence(piece, plans.get(piece.pk, []), pots[piece.pk], records, checks)
        for piece in pieces
    }


def _evidence(
    piece: Piece,
    plans: list[PlanVersion],
    pots: list[Pot],
    records: Mapping[UUID, Records],
    checks: Mapping[UUID, list[BuildCheck]],
) -> Evidence:
    if not plans:
        return Evidence((_("No plan was sent."),))
    plan = _plan_of(pots[0] if pots else None, plans)
    said = [_versions(plan, plans), _planned(plan, piece.studio)]
    if pots and (words := checks_in_words(checks.get(pots[0].pk, []), piece.studio)):
        said.append(words)
    check = records[pots[0].pk].check if pots else None
    said += _measured(check, plan, piece) if check else [_("Not measured at the end of building.")]
    said += [
        _measured_before(earlier, pot, _plan_of(pot, plans), piece)
        for pot in pots[1:]
        if (earlier := records[pot.pk].check)
    ]
    said += [
        _("When it was sent, the plan's check said: %(sentence)s")
        % {"sentence": check_sentence(each["code"], each["values"], piece.studio)}
        for each in (plan.figures or {}).get("checks", [])
    ]
    return Evidence(tuple(said), silhouette=tuple(plan.silhouette))


def _plan_of(pot: Pot | None, plans: list[PlanVersion]) -> PlanVersion:
    """The plan that the pot pins, else the one that holds, else the newest sent."""
    approved = [each for each in plans if each.state == PlanState.APPROVED]
    built = [each for each in plans if pot is not None and each.pk == pot.plan_id]
    return (built or approved or plans)[-1]


def _versions(plan: PlanVersion, plans: list[PlanVersion]) -> str:
    back = sum(1 for each in plans if each.state == PlanState.SENT_BACK)
    words = {"number": plan.number, "state": plan.get_state_display(), "all": len(plans)}
    said = _("Version %(number)s of the plan, %(state)s; %(all)s sent in all.") % words
    if back:
        text = ngettext("Sent back once.", "Sent back %(n)d times.", back) % {"n": back}
        said = f"{said} {text}"
    return said


def _planned(plan: PlanVersion, units: Units) -> str:
    sizes = (plan.figures or {})["size_mm"]
    words = {"wet": _size(sizes["wet"], units), "dry": _size(sizes["dry"], units)}
    return _("Planned as built, wet: %(wet)s. Once dry, that is %(dry)s.") % words


def _measured(check: Record, plan: PlanVersion, piece: Piece) -> list[str]:
    """Measured in damp clay against the wet plan; the dry size says how much drying takes."""
    return [
        _("Measured on %(day)s, when building ended: %(size)s. Against the wet plan: %(off)s.")
        % _measured_words(check, plan, piece),
        _(
            "A pot that was measured late has begun to shrink: between the wet and the dry size "
            "nothing has to be off. Handles and other added parts count into what was measured."
        ),
    ]


def _measured_before(check: Record, pot: Pot, plan: PlanVersion, piece: Piece) -> str:
    """A pot that was replaced, against the plan that it was built by."""
    said = _(
        "The earlier pot %(code)s was measured on %(day)s, when building ended: %(size)s. "
        "Against its wet plan: %(off)s."
    )
    return said % {"code": pot.code, **_measured_words(check, plan, piece)}


def _measured_words(check: Record, plan: PlanVersion, piece: Piece) -> dict[str, str]:
    planned = (plan.figures or {})["size_mm"]["wet"]
    measured = dict(zip(_SIDES, check.sizes_mm, strict=True))
    return {
        "day": day_text(local_day(check.at, piece.studio.zone)),
        "size": _size(measured, piece.studio),
        "off": _off(measured, planned, piece.studio),
    }


def _size(size: Mapping[str, float], units: Units) -> str:
    words = {side: length_text(size[side], units) for side in _SIDES}
    return _("%(height)s tall, %(front)s wide, %(depth)s deep") % words


def _off(measured: Mapping[str, float], planned: Mapping[str, float], units: Units) -> str:
    names = {"height": _("height"), "front": _("width"), "depth": _("depth")}
    return ", ".join(
        f"{names[side]} {_difference(measured[side] - planned[side], units)}" for side in _SIDES
    )


def _difference(mm: float, units: Units) -> str:
    if abs(mm) < 0.5:  # noqa: PLR2004 -- no ruler shows less
        return _("as planned")
    sign = "+" if mm > 0 else "−"
    return f"{sign}{length_text(abs(mm), units)}"
