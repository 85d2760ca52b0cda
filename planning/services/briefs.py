"""Setting a project: the brief, its copies, and giving it to classes."""

from collections.abc import Collection, Mapping
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.translation import gettext as _

from planning.milestones import proposed_milestones
from planning.models import Assignment, Brief, Milestone
from planning.models.brief import LEARNED, TERMS, Terms
from studio.errors import Refused
from studio.people.access import require_class
from studio.people.audit import record
from studio.people.models import Enrolment, Section, Studio, User
from studio.people.names import tidy, tidy_text
from studio.people.selectors import lessons_of
from studio.people.services.checking import check_fields, locked_studio
from studio.people.services.dates import check_near
from studio.room.models import ClayBody

from .pieces import start_pieces
from .source_forms import ensure_source_forms

_TENTH = Decimal("0.1")


def create_brief(
    *, studio: Studio, by: User, title: str, terms: Mapping[str, Any], at: datetime
) -> Brief:
    """A brief. `terms` has a value for each name of `TERMS`; the model's defaults fill the rest."""
    if not by.teaches or by.studio_id != studio.pk:
        raise PermissionDenied
    brief = Brief(studio=studio, by=by, created_at=at, title=tidy(title))
    _set_terms(brief, terms)
    with transaction.atomic():
        ensure_source_forms(studio=studio)
        _check(brief, clay_before=None)
        brief.save(force_insert=True)
        _record(brief, by, "brief made", {}, _shown(brief))
    return brief


def edit_brief(*, brief: Brief, by: User, title: str, terms: Mapping[str, Any]) -> Brief:
    """Change what the brief asks from now on. Classes that have it keep their copy."""
    with transaction.atomic():
        kept = _locked(brief, by)
        before, clay_before = _shown(kept), kept.clay_body_id
        allowance_before = kept.working_allowance_pct
        kept.title = tidy(title)
        _set_terms(kept, terms)
        if (kept.working_allowance_pct, kept.clay_body_id) != (allowance_before, clay_before):
            _set_learned(kept, None)
        _check(kept, clay_before=clay_before)
        after = _shown(kept)
        changed = [name for name in after if after[name] != before[name]]
        if changed:
            kept.save(update_fields=[*changed, *LEARNED])
            was, now = ({name: each[name] for name in changed} for each in (before, after))
            _record(kept, by, "brief edited", was, now)
    return kept


def copy_brief(*, brief: Brief, by: User, title: str, at: datetime) -> Brief:
    """A new brief with the same terms, for a new term; the old one and its classes stay."""
    _require(by, brief)
    copy = Brief(studio=brief.studio, by=by, created_at=at, title=tidy(title))
    _set_terms(copy, terms_of(brief))
    _copy_learned(brief, copy)
    with transaction.atomic():
        _check(copy, clay_before=brief.clay_body_id)
        copy.save(force_insert=True)
        _record(copy, by, "brief copied", {"brief": str(brief.pk)}, _shown(copy))
    return copy


def take_allowance(
    *, brief: Brief, by: User, pct: Decimal, range_pct: tuple[Decimal, Decimal] | None, pieces: int
) -> Brief:
    """The working allowance that the studio's own pots took, for plans to come. Classes that have
    the brief, and plans that were sent, keep theirs.

    `range_pct` is the spread of single pots, where it is known; `pieces` how many it was learned
    from, for the audit line.
    """
    if range_pct is not None and not range_pct[0] <= pct <= range_pct[1]:
        range_pct = (min(range_pct[0], pct), max(range_pct[1], pct))
    with transaction.atomic():
        kept = _locked(brief, by)
        before = _allowance_shown(kept)
        kept.working_allowance_pct = pct
        _set_learned(kept, range_pct)
        check_fields(kept)
        kept.save(update_fields=["working_allowance_pct", *LEARNED])
        after = _allowance_shown(kept) | {"pieces": pieces}
        _record(kept, by, "working allowance learned", before, after)
    return kept


def put_away_brief(*, brief: Brief, by: User) -> Brief:
    """Off the list of briefs to give. Classes that have it go on."""
    return _set_archived(brief, by, archived=True)


def take_out_brief(*, brief: Brief, by: User) -> Brief:
    """Back on the list."""
    return _set_archived(brief, by, archived=False)


def give_brief(
    *,
    brief: Brief,
    by: User,
    sections: Collection[Section],
    given_on: date,
    due_on: date,
    at: datetime,
) -> list[Assignment]:
    """Give the brief to classes: all of them or none.

    Each gets its own copy of the terms, milestones over its own meeting dates, and a piece with
    a code for everybody who is in it.
    """
    chosen = sorted(set(sections), key=lambda section: (section.title, str(section.pk)))
    for section in chosen:
        require_class(by, section)
    with transaction.atomic():
        kept = _locked(brief, by)
        _check_dates(given_on, due_on, at.astimezone(kept.studio.zone).date())
        _check_may_be_given(kept, chosen)
        dates = {"given_on": given_on, "due_on": due_on}
        return [_give(kept, section, by=by, at=at, **dates) for section in chosen]


def terms_of(terms: Terms) -> dict[str, Any]:
    """The terms of a brief or an assignment by name."""
    return {name: getattr(terms, name) for name in TERMS}


def _give(
    brief: Brief, section: Section, *, by: User, given_on: date, due_on: date, at: datetime
) -> Assignment:
    assignment = Assignment(
        brief=brief, section=section, title=brief.title, given_on=given_on, due_on=due_on
    )
    for name, value in terms_of(brief).items():
        setattr(assignment, name, value)
    _copy_learned(brief, assignment)
    assignment.save(force_insert=True)
    proposed = proposed_milestones(lessons_of(section), given_on=given_on, due_on=due_on)
    Milestone.objects.bulk_create(
        Milestone(assignment=assignment, kind=kind, on=on) for kind, on in proposed.items()
    )
    record(
        studio=brief.studio,
        by=by,
        action="brief given",
        subject=assignment,
        after={
            "brief": str(brief.pk),
            "section": str(section.pk),
            "given_on": given_on.isoformat(),
            "due_on": due_on.isoformat(),
            "milestones": {kind: on.isoformat() for kind, on in proposed.items()},
        },
    )
    enrolled = Enrolment.objects.current().filter(section=section).select_related("student")
    students = [each.student for each in enrolled.order_by("student")]
    start_pieces(assignment=assignment, students=students, by=by, at=at)
    return assignment


def _require(by: User, brief: Brief) -> None:
    if not Brief.objects.visible_to(by).filter(pk=brief.pk).exists():
        raise PermissionDenied


def _locked(brief: Brief, by: User) -> Brief:
    """The brief as it stands. The studio first: codes are drawn under its lock."""
    _require(by, brief)
    locked_studio(brief.studio)
    briefs = Brief.objects.select_related("studio", "clay_body")
    return briefs.select_for_update(of=("self",)).get(pk=brief.pk)


def _set_terms(brief: Brief, terms: Mapping[str, Any]) -> None:
    for name in TERMS:
        if name in terms:
            setattr(brief, name, _clean(name, terms[name]))


def _set_learned(brief: Brief, range_pct: tuple[Decimal, Decimal] | None) -> None:
    brief.allowance_low_pct, brief.allowance_high_pct = range_pct or (None, None)


def _copy_learned(brief: Brief, to: Terms) -> None:
    for name in LEARNED:
        setattr(to, name, getattr(brief, name))


def _allowance_shown(brief: Brief) -> dict[str, Any]:
    return {name: _plain(getattr(brief, name)) for name in ("working_allowance_pct", *LEARNED)}


def _clean(name: str, value: Any) -> Any:
    if name.endswith("_mm") and value is not None:
        return Decimal(str(value)).quantize(_TENTH)
    if name == "what_to_make":
        return tidy_text(value)
    return tidy(value) if isinstance(value, str) else value


def _check(brief: Brief, *, clay_before: Any) -> None:
    check_fields(brief)
    if brief.max_fired_height_mm < brief.min_fired_height_mm:
        message = _("The most fired height is below the least. Make one of them fit the other.")
        raise Refused(message, field="max_fired_height_mm")
    offered = ClayBody.objects.in_use().filter(studio=brief.studio_id, pk=brief.clay_body_id)
    if brief.clay_body_id != clay_before and not offered.exists():
        raise Refused(_("Choose a clay body that the studio uses."), field="clay_body")


def _check_dates(given_on: date, due_on: date, today: date) -> None:
    check_near(given_on, today, field="given_on")
    check_near(due_on, today, field="due_on")
    if due_on <= given_on:
        message = _("The due date is not after the day it is given. Choose a later one.")
        raise Refused(message, field="due_on")


def _check_may_be_given(brief: Brief, sections: list[Section]) -> None:
    if brief.archived:
        raise Refused(_("This brief is put away. Take it out before you give it."))
    if brief.clay_body.retired:
        message = _("%(body)s is no longer used. Choose another clay body in the brief first.")
        raise Refused(message % {"body": brief.clay_body})
    if not sections:
        raise Refused(_("Choose at least one class."), field="sections")
    for section in sections:
        if section.archived or section.studio_id != brief.studio_id:
            message = _("%(section)s is over. Choose another class.")
            raise Refused(message % {"section": section}, field="sections")
    given = Assignment.objects.filter(brief=brief, section__in=sections).select_related("section")
    if has := ", ".join(sorted(each.section.title for each in given)):
        message = _(
            "These have the brief already: %(classes)s. Copy the brief to set it a second time."
        )
        raise Refused(message % {"classes": has}, field="sections")


def _set_archived(brief: Brief, by: User, *, archived: bool) -> Brief:
    with transaction.atomic():
        kept = _locked(brief, by)
        if kept.archived != archived:
            kept.archived = archived
            kept.save(update_fields=["archived"])
            _record(kept, by, "brief put away" if archived else "brief taken out", {}, {})
    return kept


def _shown(brief: Brief) -> dict[str, Any]:
    """For the audit line: plain values."""
    values = {"title": brief.title} | terms_of(brief)
    return {name: _plain(value) for name, value in values.items()}


def _plain(value: Any) -> Any:
    if value is None or isinstance(value, int):
        return value
    if isinstance(value, Decimal):
        return f"{value.normalize():f}"  # 20 and 20.00 are the same figure
    return str(getattr(value, "pk", value))


def _record(
    brief: Brief, by: User, action: str, before: dict[str, Any], after: dict[str, Any]
) -> None:
    record(studio=brief.studio, by=by, action=action, subject=brief, before=before, after=after)
