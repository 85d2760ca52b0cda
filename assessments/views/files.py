"""Marks on paper and in files."""

from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from assessments.forms.exports import GradebookForm
from assessments.models import Result
from assessments.selectors.classes import class_marks
from assessments.selectors.exports import csv_rows, csv_titles, gradebook_results
from assessments.selectors.papers import mark_sheet_of, reports_of
from assessments.sheets.mark_sheet import mark_sheet_pdf as drawn_mark_sheet
from assessments.sheets.marks_csv import marks_csv as written_csv
from assessments.sheets.oneroster import results_bundle
from assessments.sheets.report import reports_pdf as drawn_reports
from planning.models import Assignment
from studio.errors import Problem, Refused
from studio.paper.pages import PAGES
from studio.people.access import TEACHING, only, person_of, studio_of
from studio.people.models import Role, Studio
from studio.web.printing import footer_text, paper_asked, pdf_answer

from .finding import released_result, taught_assignment, with_piece


@only(*TEACHING)
@require_safe
def marks_csv(request: HttpRequest, pk: UUID) -> HttpResponse:
    """The class's marks for a spreadsheet."""
    person = person_of(request)
    marks = class_marks(taught_assignment(person, pk))
    titles = csv_titles(marks)
    content = written_csv(titles, csv_rows(marks, titles, person))
    return _file(content, "text/csv; charset=utf-8", "marks.csv")


@only(*TEACHING)
@require_safe
def gradebook_zip(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Released results for the school's gradebook."""
    assignment = taught_assignment(person_of(request), pk)
    form = GradebookForm(request.GET)
    if not form.is_valid():
        raise Refused.all_of(
            Problem(str(error), field) for field, errors in form.errors.items() for error in errors
        )
    found = gradebook_results(
        assignment,
        class_marks(assignment),
        today=timezone.localdate(),
        grading_period_id=form.cleaned_data["grading_period"],
    )
    if found.class_unknown:
        raise Refused(
            _("The school's roster doesn't know this class, so the gradebook would not either.")
        )
    return _file(results_bundle(found.item, found.results), "application/zip", "results.zip")


@only(*TEACHING)
@require_safe
def mark_sheet_pdf(request: HttpRequest, pk: UUID) -> HttpResponse:
    """The class's levels on one table."""
    person = person_of(request)
    assignment = taught_assignment(person, pk)
    studio = assignment.section.studio
    sheet = mark_sheet_of(assignment, class_marks(assignment), person, footer=_footer(studio))
    page = PAGES[paper_asked(request, studio.paper)]
    return pdf_answer(drawn_mark_sheet(sheet, page), "mark-sheet")


@only(*TEACHING)
@require_safe
def reports_pdf(request: HttpRequest, pk: UUID) -> HttpResponse:
    """A page for every student of the class whose marks are released."""
    assignment = taught_assignment(person_of(request), pk)
    results = _released(assignment)
    if not results:
        raise Refused(_("Nothing of this class is released yet. Reports say what is released."))
    studio = assignment.section.studio
    page = PAGES[paper_asked(request, studio.paper)]
    return pdf_answer(drawn_reports(reports_of(results, footer=_footer(studio)), page), "reports")


@only(*TEACHING, Role.STUDENT)
@require_safe
def report_pdf(request: HttpRequest, pk: UUID) -> HttpResponse:
    """One student's page."""
    person = person_of(request)
    result = released_result(person, pk)
    studio = studio_of(person)
    page = PAGES[paper_asked(request, studio.paper)]
    return pdf_answer(drawn_reports(reports_of([result], footer=_footer(studio)), page), "report")


def _released(assignment: Assignment) -> list[Result]:
    rows = with_piece(Result.objects.current().filter(piece__assignment=assignment))
    return list(rows.order_by("piece__student__family_name", "piece__student__given_name", "pk"))


def _footer(studio: Studio) -> str:
    return footer_text(studio.name, timezone.localdate())


def _file(content: bytes, kind: str, name: str) -> HttpResponse:
    """Names stand in it, so no cache keeps it."""
    response = HttpResponse(content, content_type=kind)
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    response["Cache-Control"] = "no-store, private"
    return response
