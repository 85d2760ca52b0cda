"""True-size paper of a whole class as one PDF, made in the background and kept for a week.

The file lies in the private storage under the name of its job and attempt, so that the next attempt
finds what one left that was killed.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from functools import partial
from typing import Any
from urllib.parse import urljoin

from django.core.files.base import ContentFile, File
from django.core.files.storage import default_storage
from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _

from planning.models import Assignment, Piece
from planning.plans.papers import Paper
from studio.board.selectors.class_sets import KIND, sets_of
from studio.board.selectors.papers import ToPrint, plans_on_paper
from studio.errors import Refused
from studio.jobs.kinds import Kind
from studio.jobs.models import Job
from studio.jobs.services import ask_for
from studio.jobs.tasks import MAX_ATTEMPTS
from studio.jobs.work import RESULT_KEPT, Work
from studio.paper.pages import WITH_LARGE_PAGES, Page, Sheet
from studio.paper.pdf import pdf
from studio.people.access import require_class
from studio.people.models import User

FOLDER = "class-sets"
_READ, _DRAWN = 5, 95  # per cent: pieces read, all of them drawn


def ask_for_class_set(
    *,
    assignment: Assignment,
    by: User,
    papers: Sequence[Paper],
    page: str,
    origin: str,
    at: datetime,
) -> Job:
    """Have these prints made of every plan of a class. `origin` is what addresses to scan begin
    with, such as "https://studio.example"."""
    require_class(by, assignment.section)
    if not papers:
        raise Refused(_("Choose at least one print."), field="papers")
    kinds = [paper.value for paper in Paper if paper in papers]
    return ask_for(
        kind=KIND,
        studio=assignment.section.studio,
        by=by,
        subjects=[assignment.pk],
        unique_key=f"{assignment.pk}:{page}:{'+'.join(kinds)}",
        wanted={"papers": kinds, "page": page, "origin": origin},
        at=at,
    )


@dataclass
class _Bundle:
    """What has been drawn so far, and the pieces that have nothing to draw with the reason."""

    sheets: list[Sheet] = field(default_factory=list)
    pieces: list[str] = field(default_factory=list)
    missing: list[dict[str, str]] = field(default_factory=list)


def make_class_set(work: Work) -> None:
    """Draw the plans of all who are in the class, outside any transaction."""
    _delete_before(work.job, work.attempt)
    seen = Assignment.objects.filter(pk__in=work.job.subjects)
    assignment = seen.select_related("section__studio").first()
    if assignment is None:  # taken back meanwhile
        return
    wanted = work.job.wanted
    bundle = _drawn(work, assignment, [Paper(each) for each in wanted["papers"]])
    if not bundle.sheets:
        raise Refused(_("No plan of this class can be printed yet. Students send theirs first."))
    work.progress(_DRAWN, _("putting the pages together"))
    title = f"{assignment.section.title}, {assignment.title}"
    content = pdf(WITH_LARGE_PAGES[wanted["page"]], bundle.sheets, title=title)
    _keep(work, assignment, bundle, content)


def _drawn(work: Work, assignment: Assignment, papers: Sequence[Paper]) -> _Bundle:
    bundle = _Bundle()
    pieces = list(_pieces(assignment))
    page, origin = WITH_LARGE_PAGES[work.job.wanted["page"]], work.job.wanted["origin"]
    today = timezone.localdate(work.job.asked_at)
    for number, each in enumerate(plans_on_paper(pieces, work.job.by, today)):
        work.progress(_READ + (_DRAWN - _READ) * number // len(pieces), each.piece.code)
        why = _put_in(bundle, each, papers, page, origin) if each.plan else "no_plan"
        if why:
            bundle.missing.append({"piece": str(each.piece.pk), "why": why})
    return bundle


def _put_in(
    bundle: _Bundle, each: ToPrint, papers: Sequence[Paper], page: Page, origin: str
) -> str:
    """Why not, "" where it was."""
    try:
        ready = each.paper(partial(urljoin, origin))
    except Refused:
        return "refused"
    for paper in papers:
        bundle.sheets += ready.sheets(paper, page)
    bundle.pieces.append(str(each.piece.pk))
    return ""


def _pieces(assignment: Assignment) -> QuerySet[Piece]:
    """Of those who are in the class now, by first name, as labels are."""
    rows = Piece.objects.filter(assignment=assignment).of_enrolled()
    related = rows.select_related("student", "assignment__section", "assignment__clay_body")
    return related.order_by("student__given_name", "student__family_name", "code")


def _keep(work: Work, assignment: Assignment, bundle: _Bundle, content: bytes) -> None:
    # On disk before the row commits: a result without its file would be a broken promise.
    name = default_storage.save(_file_name(work.job, work.attempt), ContentFile(content))
    result = {
        "file": name,
        "pages": len(bundle.sheets),
        "pieces": len(bundle.pieces),
        "missing": bundle.missing,
    }
    try:
        with transaction.atomic():
            # Who erases a student holds their pieces first, too: either it sees this result, or
            # this sees that the student has left.
            drawn = Piece.objects.filter(pk__in=bundle.pieces).order_by("pk")
            list(drawn.select_for_update().values_list("pk"))
            with work.finishing(result):
                there = Piece.objects.filter(assignment=assignment).of_enrolled()
                if there.filter(pk__in=bundle.pieces).count() < len(bundle.pieces):
                    raise Refused(_("The class changed meanwhile. Ask for its prints again."))
    except BaseException:
        default_storage.delete(name)
        raise


def _file_name(job: Job, attempt: int) -> str:
    return f"{FOLDER}/{job.pk.hex}-{attempt}.pdf"


def _delete_before(job: Job, attempt: int) -> None:
    """What earlier attempts wrote, if they were killed before they could say so."""
    for each in range(1, attempt):
        default_storage.delete(_file_name(job, each))


def _gave_up(job: Job) -> None:
    transaction.on_commit(lambda: _delete_before(job, MAX_ATTEMPTS + 1))


CLASS_SET = Kind(run=make_class_set, give_up=_gave_up)


def class_set_files(pieces: Iterable[Piece]) -> set[str]:
    """Names in the storage of every kept set that may hold one of these pieces."""
    return {job.result["file"] for job in _sets_with(pieces)}


def forget_class_sets(pieces: Iterable[Piece]) -> None:
    """Drop the rows of those sets; whoever asks deletes the files once that is certain."""
    with transaction.atomic():
        for job in _sets_with(pieces):
            job.delete()


def _sets_with(pieces: Iterable[Piece]) -> list[Job]:
    found = sets_of({piece.assignment_id for piece in pieces})
    return [job for job in found if "file" in job.result]


def clear_class_sets(*, at: datetime) -> None:
    """Delete every file that has been kept as long as its job's result."""
    try:
        _folders, files = default_storage.listdir(FOLDER)
    except FileNotFoundError:  # nothing was ever asked for
        return
    for file in files:
        name = f"{FOLDER}/{file}"
        if default_storage.get_modified_time(name) < at - RESULT_KEPT:
            default_storage.delete(name)


def opened_class_set(job: Job) -> File[Any]:
    """Its file, open to be read. Raises `Refused` where it is kept no longer."""
    try:
        return default_storage.open(job.result["file"])
    except (KeyError, FileNotFoundError):
        raise Refused(_("These prints are no longer kept. Ask for them again.")) from None
