"""An issue list as the text that its print shows, in the studio's units."""

from datetime import date

from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from planning.models import Assignment
from studio.clay.bags import part_text, quarters_for
from studio.clay.selectors.issue_list import IssueLine, IssueList
from studio.clay.sheets.issue_list import IssuePaper, PaperLine
from studio.clay.wording import lot_line
from studio.people.models import Studio
from studio.web.printing import footer_text
from studio.web.shown import day_text, mass_range_text, mass_text, number_text


def issue_list_paper(assignment: Assignment, found: IssueList, today: date) -> IssuePaper:
    section = assignment.section
    studio = section.studio
    wait = [line for line in found.lines if line.remaining_g and not line.hindrance]
    later = [line for line in found.lines if line.hindrance]
    return IssuePaper(
        title=f"{section.title}, {assignment.title}",
        day=day_text(today),
        footer=footer_text(studio.name, timezone.localdate()),
        lines=[_line(line, found, studio) for line in wait],
        later=[_line(line, found, studio) for line in later],
        total=mass_text(sum(line.remaining_g for line in wait), studio),
        count=ngettext("%(n)s pot", "%(n)s pots", len(wait)) % {"n": number_text(len(wait))},
        bags=_bags(found),
        enough=enough_sentence(found, studio),
    )


def enough_sentence(found: IssueList, studio: Studio) -> str:
    """Whether the clay that is there does for the class."""
    words = {
        "body": found.stock.body,
        "there": mass_text(found.stock.ready_g, studio),
        "needed": mass_text(found.needed_g, studio),
        "lacking": mass_text(found.lacking_g, studio),
    }
    if found.lacking_g:
        message = _(
            "Not enough %(body)s: %(needed)s are needed, %(there)s are there, %(lacking)s lack."
        )
        return message % words
    if not found.needed_g:
        return _("%(there)s of %(body)s are there.") % words
    return _("Enough %(body)s: %(needed)s are needed, %(there)s are there.") % words


def _line(line: IssueLine, found: IssueList, studio: Studio) -> PaperLine:
    bag_g = found.stock.bag_g
    return PaperLine(
        code=line.code,
        name=line.student.short_name,
        weigh_out=mass_text(line.remaining_g, studio),
        # Of what was handed out already the range says nothing.
        between=mass_range_text(*line.range_g, studio)
        if line.range_g and not line.clay.kept_g
        else "",
        of_a_bag=part_text(quarters_for(line.remaining_g, bag_g)) if bag_g else "",
        note=line.hindrance,
    )


def _bags(found: IssueList) -> list[str]:
    lots = found.stock.to_issue
    if not lots:
        return [_("There is no %(body)s to hand out.") % {"body": found.stock.body}]
    return [lot_line(lot) for lot in lots]
