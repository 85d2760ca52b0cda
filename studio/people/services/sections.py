"""Classes and who teaches them."""

from collections.abc import Collection

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.translation import gettext as _

from studio.errors import Refused
from studio.people.access import TEACHING, require_class, require_head
from studio.people.audit import record
from studio.people.models import Section, Studio, Teaching, User
from studio.people.names import tidy

from .checking import check_fields, locked_studio

EDITABLE = ("title", "code", "sourced_id", "archived")


def create_class(
    *,
    studio: Studio,
    by: User,
    title: str,
    code: str = "",
    sourced_id: str = "",
    teachers: Collection[User] = (),
) -> Section:
    """A class. A teacher teaches what they make; a head says who teaches it."""
    if not by.teaches or by.studio_id != studio.pk:
        raise PermissionDenied
    section = Section(
        studio=studio, title=tidy(title), code=tidy(code), sourced_id=tidy(sourced_id)
    )
    check_fields(section)
    teaching = set(teachers) if by.is_head else {by}
    with transaction.atomic():
        locked_studio(studio)
        _check_roster_id_free(section)
        section.save(force_insert=True)
        _check_may_teach(studio, teaching)
        Teaching.objects.bulk_create(Teaching(section=section, teacher=each) for each in teaching)
        record(
            studio=studio,
            by=by,
            action="class made",
            subject=section,
            after={"title": section.title, "teachers": _ids(teaching)},
        )
    return section


def edit_class(
    *,
    section: Section,
    by: User,
    title: str,
    code: str,
    sourced_id: str,
    archived: bool,
    teachers: Collection[User] | None = None,
) -> Section:
    """Its names, whether it is over, and where a head says so who teaches it."""
    require_class(by, section)
    with transaction.atomic():
        locked_studio(section.studio)
        kept = Section.objects.select_for_update(of=("self",)).get(pk=section.pk)
        before = {field: getattr(kept, field) for field in EDITABLE}
        kept.title, kept.code, kept.sourced_id = tidy(title), tidy(code), tidy(sourced_id)
        kept.archived = archived
        check_fields(kept)
        _check_roster_id_free(kept)
        after = {field: getattr(kept, field) for field in EDITABLE}
        if after != before:
            kept.save(update_fields=EDITABLE)
            record(
                studio=section.studio,
                by=by,
                action="class edited",
                subject=kept,
                before=before,
                after=after,
            )
        if teachers is not None:
            set_teachers(section=kept, by=by, teachers=teachers)
    return kept


def set_teachers(*, section: Section, by: User, teachers: Collection[User]) -> None:
    """Who teaches a class decides who sees its students' work: a head sets it."""
    require_head(by, section.studio)
    with transaction.atomic():
        Section.objects.select_for_update(of=("self",)).get(pk=section.pk)
        before = set(section.teachers.all())
        now = set(teachers)
        _check_may_teach(section.studio, now)
        if now == before:
            return
        Teaching.objects.filter(section=section, teacher__in=before - now).delete()
        Teaching.objects.bulk_create(
            Teaching(section=section, teacher=each) for each in now - before
        )
        record(
            studio=section.studio,
            by=by,
            action="teachers set",
            subject=section,
            before={"teachers": _ids(before)},
            after={"teachers": _ids(now)},
        )


def _check_may_teach(studio: Studio, people: Collection[User]) -> None:
    if any(each.studio_id != studio.pk or each.role not in TEACHING for each in people):
        raise Refused(_("Choose heads and teachers of this studio only."), field="teachers")


def _check_roster_id_free(section: Section) -> None:
    others = Section.objects.filter(studio=section.studio, sourced_id=section.sourced_id)
    if section.sourced_id and others.exclude(pk=section.pk).exists():
        message = _("Another class has this roster id. Look it up again.")
        raise Refused(message, field="sourced_id")


def _ids(people: Collection[User]) -> list[str]:
    return sorted(str(each.pk) for each in people)
