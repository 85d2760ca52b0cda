"""A class's cover list as the text that its print shows."""

from datetime import date, datetime

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext, pgettext

from studio.board.sheets.cover_list import CoverPaper, DampPot
from studio.people.models import Section
from studio.ware.models import Pot
from studio.ware.selectors import CoverList, cover_list
from studio.web.printing import footer_text
from studio.web.shown import day_text


def cover_paper(section: Section, *, today: date) -> CoverPaper:
    """Three queries; `section.studio` is loaded."""
    found = cover_list(section, today)
    return CoverPaper(
        title=stay_damp(found, today),
        subtitle=f"{section.title} · {day_text(today)}",
        footer=footer_text(section.studio.name, today),
        pots=[_damp_pot(pot) for pot in found.pots],
    )


def stay_damp(found: CoverList, today: date) -> str:
    """ "These 14 stay damp: next lesson Tuesday, in 4 days." """
    if not found.pots:
        return _("No pot has to stay damp.")
    words = {"n": len(found.pots)}
    if found.next_lesson is None or found.days is None:
        message = ngettext(
            "This one stays damp: no further lesson is in the calendar.",
            "These %(n)d stay damp: no further lesson is in the calendar.",
            words["n"],
        )
        return message % words
    until = ngettext(
        "next lesson %(day)s, in %(days)d day", "next lesson %(day)s, in %(days)d days", found.days
    ) % {"day": day_text(found.next_lesson, today), "days": found.days}
    message = ngettext(
        "This one stays damp: %(until)s.", "These %(n)d stay damp: %(until)s.", words["n"]
    )
    return message % {**words, "until": until}


def _damp_pot(pot: Pot) -> DampPot:
    return DampPot(
        code=pot.code,
        name=pot.piece.student.short_name,
        place=pot.place.name if pot.place else _("not noted"),
        wrapped=_wrapped(pot.covered_since),
        stage=pot.stage,
        shape=pot.plan.silhouette,
    )


def _wrapped(since: datetime | None) -> str:
    """By its date: on paper "yesterday" grows stale."""
    if since is None:
        return _("open now")
    # Translators: a weekday and a date without the year, in Django's date format: "Thu 12 March".
    return date_format(timezone.localtime(since), pgettext("short date in words", "D j F"))
