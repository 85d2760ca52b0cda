"""Erasing a person: what they made stays, with nobody's name on it.

A head's word is always needed: nothing is erased because time has passed.
"""

import logging
from collections.abc import Iterable
from datetime import datetime
from typing import Any
from uuid import UUID

from django.apps import apps
from django.conf import settings
from django.contrib.auth import SESSION_KEY
from django.contrib.auth.hashers import make_password
from django.contrib.sessions.models import Session
from django.core.files.storage import default_storage
from django.db import models, transaction
from django.db.models import F
from django.utils.translation import gettext as _

from assessments.models import Marking, Result
from assessments.selectors.evidence import without_evidence
from planning.models import Piece, PlanPhoto, Refinement, ScanPage, Sheet, Thumbnail
from studio.board.services.class_sets import class_set_files, forget_class_sets
from studio.errors import Refused
from studio.jobs.models import Job
from studio.keeping.fates import FATES
from studio.keeping.models import Erasure
from studio.keeping.remembered import check_can_remember, remember
from studio.kilns.models import Slot
from studio.people.access import require_head
from studio.people.audit import record
from studio.people.models import Enrolment, Role, SignInGuess, User
from studio.people.services.checking import locked_person
from studio.room.models import Kiln
from studio.uploads.models import StoredImage
from studio.uploads.services import erase_image, files_of
from studio.ware.models import PotPhoto

from .audit_lines import clean_answers, clean_audit, names_ever

logger = logging.getLogger(__name__)


def erase_person(*, person: User, by: User | None, at: datetime) -> Erasure:
    """Take everything out that says who this was. It can't be undone.

    `by` is a head of the studio, or None for whoever runs the service. Staff are erased only when
    their account is closed, and never the last head. Raises `Refused`.
    """
    check_can_remember(settings.ERASURES_FILE)
    sessions = _sessions_of(person)
    with transaction.atomic():
        # Pieces before people: what is being written about one of them now is emptied too.
        list(Piece.objects.select_for_update().filter(student=person).order_by("pk"))
        kept = locked_person(person)
        _check_may_erase(kept, by)
        Session.objects.filter(pk__in=sessions).delete()
        erasure = forget(person=kept, by=by, at=at)
        transaction.on_commit(lambda: finish_now(at=at))
    return erasure


def forget(*, person: User, by: User | None, at: datetime) -> Erasure:
    """The erasing itself, in the caller's transaction and without asking whether it may be."""
    pictures = _pictures_of(person)
    # Prints of a whole class carry the names of everybody in it.
    pieces = list(Piece.objects.filter(student=person))
    files = {f for each in pictures for f in files_of(each)} | class_set_files(pieces)
    erasure = Erasure.objects.create(person=person, by=by, at=at, files=sorted(files))
    forget_class_sets(pieces)
    names = names_ever(person)
    theirs = {label: _ids(rows) for label, rows in _rows_of(person)}
    theirs["uploads.StoredImage"] = [each.pk for each in pictures]
    _empty(person)
    for image in pictures:
        erase_image(image=image)
    _pictures_sent(person).update(original_name="")
    SignInGuess.objects.filter(name_key=str(person.pk)).delete()
    _clean_jobs(person)
    if person.is_student:
        _leave_classes(person, at)
    _anonymise(person)
    if person.studio is not None:
        for clean in (clean_audit, clean_answers):
            clean(studio=person.studio, theirs=theirs, names=names, instead=person.given_name)
        record(
            studio=person.studio,
            by=by,
            action="person erased",
            subject=person,
            after={"images": len(pictures)},
        )
    return erasure


def finish_erasures(*, at: datetime) -> None:
    """What is done after the transaction: remember who was erased, and let their files go.

    Called again now and then, so that a process that died in between leaves neither undone.
    """
    remember(settings.ERASURES_FILE, Erasure.objects.values_list("person_id", "at"))
    for erasure in Erasure.objects.exclude(files=[]):
        for name in erasure.files:
            default_storage.delete(name)
        Erasure.objects.filter(pk=erasure.pk).update(files=[])


def finish_now(*, at: datetime) -> None:
    """After a commit: nobody is less erased if it fails, and the housekeeping tries again."""
    try:
        finish_erasures(at=at)
    except Exception:
        logger.exception("an erasure is finished later")


def _check_may_erase(person: User, by: User | None) -> None:
    if by is not None and person.studio is not None:
        require_head(by, person.studio)
        if by.pk == person.pk:
            raise Refused(_("You can't erase yourself. Ask another head."))
    if Erasure.objects.filter(person=person).exists():
        raise Refused(_("This person is erased already."))
    if person.is_student or not person.role:
        return
    if person.is_active:
        raise Refused(_("This account is still open. Close it first, then erase the person."))
    heads = User.objects.filter(studio=person.studio, role=Role.HEAD, is_active=True)
    if person.is_head and not heads.exclude(pk=person.pk).exists():
        raise Refused(_("This is the last head of the studio. Make another one first."))
    _check_no_kiln_waits(person)


def _check_no_kiln_waits(person: User) -> None:
    """A kiln whose shut-off nobody confirms is a fire that nobody watches."""
    kilns = Kiln.objects.in_use().filter(confirms_shut_off=person)
    slots = Slot.objects.standing().filter(confirms_shut_off=person, off_at__isnull=True)
    named = {kiln.name for kiln in kilns} | {
        slot.kiln.name for slot in slots.select_related("kiln")
    }
    if named:
        message = _(
            "This person confirms the shut-off of %(kilns)s. Name somebody else there first."
        )
        raise Refused(message % {"kilns": ", ".join(sorted(named))})


def _rows_of(person: User) -> Iterable[tuple[str, "models.QuerySet[Any]"]]:
    """Each table of `FATES` with the rows in it that are this person's."""
    for label, fate in FATES.items():
        if fate.path:
            model = apps.get_model(label)
            yield label, model._base_manager.filter(**{fate.path: person.pk})


def _ids(rows: "models.QuerySet[Any]") -> list[Any]:
    return list(rows.values_list("pk", flat=True))


def _empty(person: User) -> None:
    for label, rows in _rows_of(person):
        fate = FATES[label]
        if fate.gone:
            rows.delete()
            continue
        if fate.emptied:
            rows.update(**dict.fromkeys(fate.emptied, ""))
    # An open window doesn't write its words back unseen: it is told that the marking changed.
    Marking.objects.filter(piece__student=person).update(edition=F("edition") + 1)
    for result in Result.objects.filter(piece__student=person):
        result.levels = [{**level, "note": ""} for level in result.levels]
        result.evidence = without_evidence(result.evidence)
        result.save(update_fields=["levels", "evidence"])


def _pictures_of(person: User) -> list[StoredImage]:
    """Those of their pieces, whoever sent them, and those they sent that are on nobody's piece.

    What staff sent of a student's pot is that student's, and goes with the student.
    """
    own: set[UUID] = set()
    others: set[UUID] = set()
    for model, path in (
        (Thumbnail, "piece"),
        (Refinement, "piece"),
        (PlanPhoto, "piece"),
        (Sheet, "piece"),
        (ScanPage, "piece"),
        (PotPhoto, "pot__piece"),
    ):
        rows = model._default_manager.all()
        own.update(rows.filter(**{f"{path}__student": person}).values_list("image", flat=True))
        sent = rows.filter(image__by=person).exclude(**{f"{path}__student": person})
        others.update(sent.values_list("image", flat=True))
    own.update(_pictures_sent(person).exclude(pk__in=others).values_list("pk", flat=True))
    return list(StoredImage.objects.filter(pk__in=own))


def _pictures_sent(person: User) -> "models.QuerySet[StoredImage]":
    return StoredImage.objects.filter(by=person)


def _clean_jobs(person: User) -> None:
    """A job that is open goes on: it may be reading a picture of somebody else's pot."""
    done = Job.objects.filter(by=person).exclude(state__in=Job.OPEN)
    done.delete()


def _leave_classes(person: User, at: datetime) -> None:
    today = at.astimezone(person.studio.zone).date() if person.studio else at.date()
    for enrolment in Enrolment.objects.current().filter(student=person):
        enrolment.left_on = max(today, enrolment.joined_on)
        enrolment.save(update_fields=["left_on"])


def _anonymise(person: User) -> None:
    person.given_name = _("a former student") if person.is_student else _("a former colleague")
    person.family_name = person.sourced_id = ""
    person.username = f"former-{person.pk.hex[:16]}"
    person.password = make_password(None)
    person.is_active = person.must_change_password = False
    person.first_password_ends_at = person.last_login = None
    person.save()


def _sessions_of(person: User) -> list[str]:
    """Looked for before any lock is taken: what is in a session only its own code can read."""
    wanted = str(person.pk)
    return [
        session.session_key
        for session in Session.objects.iterator()
        if session.get_decoded().get(SESSION_KEY) == wanted
    ]


def erased_ids() -> set[UUID]:
    return set(Erasure.objects.values_list("person_id", flat=True))
