"""What an idea can grow from: the studio's own list."""

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from planning.models import SourceForm
from studio.errors import Refused
from studio.people.audit import record
from studio.people.models import Studio, User
from studio.people.names import tidy
from studio.people.services.checking import check_fields, locked_studio

SHIPPED = (
    gettext_noop("seed pod"),
    gettext_noop("bud"),
    gettext_noop("shell"),
    gettext_noop("leaf"),
    gettext_noop("fruit"),
    gettext_noop("bone"),
    gettext_noop("stone"),
    gettext_noop("cactus"),
    gettext_noop("gourd"),
    gettext_noop("other"),
)


def ensure_source_forms(*, studio: Studio) -> None:
    """A list to begin with, for a studio that has none."""
    if SourceForm.objects.filter(studio=studio).exists():
        return
    with transaction.atomic():
        locked_studio(studio)
        if not SourceForm.objects.filter(studio=studio).exists():
            SourceForm.objects.bulk_create(
                SourceForm(studio=studio, name=_(name)) for name in SHIPPED
            )


def add_source_form(*, studio: Studio, by: User, name: str) -> SourceForm:
    _require(by, studio)
    form = SourceForm(studio=studio, name=tidy(name))
    with transaction.atomic():
        locked_studio(studio)
        _check(form)
        form.save(force_insert=True)
        _record(form, by, "source form added", {})
    return form


def rename_source_form(*, source_form: SourceForm, by: User, name: str) -> SourceForm:
    """Another word for the same thing; drawings that grew from it show the new word."""
    _require(by, source_form.studio)
    with transaction.atomic():
        locked_studio(source_form.studio)
        kept = SourceForm.objects.select_related("studio").get(pk=source_form.pk)
        before = {"name": kept.name}
        kept.name = tidy(name)
        _check(kept)
        kept.save(update_fields=["name"])
        _record(kept, by, "source form renamed", before)
    return kept


def retire_source_form(*, source_form: SourceForm, by: User) -> SourceForm:
    """No longer offered; drawings that grew from it keep it."""
    return _set_retired(source_form, by, retired=True)


def offer_source_form(*, source_form: SourceForm, by: User) -> SourceForm:
    """Offered again."""
    return _set_retired(source_form, by, retired=False)


def _set_retired(source_form: SourceForm, by: User, *, retired: bool) -> SourceForm:
    _require(by, source_form.studio)
    with transaction.atomic():
        locked_studio(source_form.studio)
        kept = SourceForm.objects.select_related("studio").get(pk=source_form.pk)
        if kept.retired != retired:
            others = SourceForm.objects.filter(studio=kept.studio, retired=False)
            if retired and not others.exclude(pk=kept.pk).exists():
                raise Refused(_("One source form has to stay. Add another before this one goes."))
            kept.retired = retired
            kept.save(update_fields=["retired"])
            action = "source form retired" if retired else "source form offered again"
            _record(kept, by, action, {})
    return kept


def _require(by: User, studio: Studio) -> None:
    if not by.teaches or by.studio_id != studio.pk:
        raise PermissionDenied


def _check(form: SourceForm) -> None:
    check_fields(form)
    same = SourceForm.objects.filter(studio=form.studio, name__iexact=form.name)
    if twin := same.exclude(pk=form.pk).first():
        message = _("“%(name)s” is on the list already.")
        if twin.retired:
            message = _("“%(name)s” is on the list already, below. Offer it again there.")
        raise Refused(message % {"name": twin.name}, field="name")


def _record(form: SourceForm, by: User, action: str, before: dict[str, str]) -> None:
    after = {"name": form.name}
    record(studio=form.studio, by=by, action=action, subject=form, before=before, after=after)
