"""Meeting dates, closures and absences."""

from datetime import date
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from studio.errors import Refused
from studio.people.access import require_class, require_head
from studio.people.audit import record
from studio.people.calendar import (
    LONGEST_CYCLE,
    LONGEST_DAYS,
    CyclePattern,
    Pattern,
    meeting_dates,
    pattern_as_json,
    pattern_from_json,
)
from studio.people.models import Absence, Closure, Enrolment, Meeting, Section, Studio, User
from studio.people.names import tidy

from .checking import check_fields, locked_studio

NEAR_DAYS = 1500


def set_pattern(
    *, section: Section, by: User, pattern: Pattern, starts_on: date, ends_on: date, today: date
) -> Section:
    """Make the class's dates anew.

    Dates added, moved, noted or cancelled by hand stay, and so do past ones with absences.
    """
    require_class(by, section)
    _check_pattern(pattern, starts_on, ends_on)
    check_near(starts_on, today, field="starts_on")
    check_near(ends_on, today, field="ends_on")
    with transaction.atomic():
        kept = _locked_section(section)
        before = {"pattern": kept.pattern, "from": str(kept.starts_on), "to": str(kept.ends_on)}
        kept.pattern = pattern_as_json(pattern)
        kept.starts_on, kept.ends_on = starts_on, ends_on
        kept.save(update_fields=["pattern", "starts_on", "ends_on"])
        _make_dates(kept, today)
        record(
            studio=section.studio,
            by=by,
            action="meeting dates made",
            subject=kept,
            before=before,
            after={"pattern": kept.pattern, "from": str(starts_on), "to": str(ends_on)},
        )
    return kept


def add_meeting(*, section: Section, by: User, on: date, note: str = "", today: date) -> Meeting:
    """One more lesson; a cancelled one on that date is held after all."""
    require_class(by, section)
    check_near(on, today)
    with transaction.atomic():
        kept = _locked_section(section)
        meeting = Meeting.objects.filter(section=kept, on=on).first()
        if meeting is not None and not meeting.cancelled:
            raise Refused(_("The class meets on this date already."), field="on")
        meeting = meeting or Meeting(section=kept, on=on)
        meeting.note, meeting.by_hand, meeting.cancelled = tidy(note), True, False
        check_fields(meeting)
        meeting.save()
        _record_meeting(meeting, by, "lesson added")
    return meeting


def edit_meeting(
    *,
    meeting: Meeting,
    by: User,
    on: date,
    note: str,
    cancelled: bool | None = None,
    today: date,
) -> Meeting:
    """Another date or note, and whether it falls out where that is said.

    The old date stays as one that falls out, so that a new pattern doesn't bring it back.
    """
    require_class(by, meeting.section)
    check_near(on, today)
    with transaction.atomic():
        _locked_section(meeting.section)
        kept = _current(meeting)
        before, old = _told(kept), kept.on
        if on != old:
            _make_room(kept, on)
        kept.on, kept.note, kept.by_hand = on, tidy(note), True
        kept.cancelled = kept.cancelled if cancelled is None else cancelled
        check_fields(kept)
        kept.save(update_fields=["on", "note", "by_hand", "cancelled"])
        if on != old:
            Meeting.objects.create(section_id=kept.section_id, on=old, by_hand=True, cancelled=True)
        _record_meeting(kept, by, "lesson edited", before)
    return kept


def cancel_meeting(*, meeting: Meeting, by: User) -> Meeting:
    return _set_cancelled(meeting, by, cancelled=True)


def restore_meeting(*, meeting: Meeting, by: User) -> Meeting:
    return _set_cancelled(meeting, by, cancelled=False)


def mark_absent(*, meeting: Meeting, student: User, by: User, absent: bool, today: date) -> None:
    """Say whether a student missed a lesson; saying it twice changes nothing."""
    require_class(by, meeting.section)
    with transaction.atomic():
        _locked_section(meeting.section)
        kept = _current(meeting)
        if kept.cancelled:
            raise Refused(_("This lesson falls out, so nobody can miss it."))
        if kept.on > today:
            raise Refused(_("This lesson hasn't come yet. Mark absence on the day."))
        enrolled = Enrolment.objects.current().filter(section=kept.section, student=student)
        if not enrolled.exists():
            message = _("%(student)s is not in %(section)s any more.")
            raise Refused(message % {"student": student, "section": kept.section})
        known = Absence.objects.filter(meeting=kept, student=student)
        if absent == known.exists():
            return
        if absent:
            Absence.objects.create(meeting=kept, student=student)
        else:
            known.delete()
        record(
            studio=kept.section.studio,
            by=by,
            action="marked absent" if absent else "marked present",
            subject=student,
            after={"section": str(kept.section_id), "on": kept.on.isoformat()},
        )


def add_closure(
    *, studio: Studio, by: User, name: str, starts_on: date, ends_on: date, today: date
) -> Closure:
    """Days on which the studio is shut; the classes' dates follow."""
    require_head(by, studio)
    check_near(starts_on, today, field="starts_on")
    check_near(ends_on, today, field="ends_on")
    if ends_on < starts_on:
        raise Refused(_("The last day is before the first."), field="ends_on")
    closure = Closure(studio=studio, name=tidy(name), starts_on=starts_on, ends_on=ends_on)
    check_fields(closure)
    with transaction.atomic():
        locked_studio(studio)
        closure.save(force_insert=True)
        _make_all_dates(studio, today)
        _record_closure(closure, by, "closure added")
    return closure


def remove_closure(*, closure: Closure, by: User, today: date) -> None:
    require_head(by, closure.studio)
    with transaction.atomic():
        locked_studio(closure.studio)
        _record_closure(closure, by, "closure removed")
        Closure.objects.filter(pk=closure.pk).delete()
        _make_all_dates(closure.studio, today)


def check_near(day: date, today: date, field: str = "on") -> None:
    """A slip of the year is caught before it makes a thousand dates."""
    if abs((day - today).days) > NEAR_DAYS:
        raise Refused(_("This date is years away. Check the year."), field=field)


def _check_pattern(pattern: Pattern, starts_on: date, ends_on: date) -> None:
    if ends_on < starts_on:
        raise Refused(_("The last day is before the first."), field="ends_on")
    if (ends_on - starts_on).days > LONGEST_DAYS:
        raise Refused(_("A class lasts two years at most. Check the dates."), field="ends_on")
    if not isinstance(pattern, CyclePattern):
        if not pattern.weekdays:
            raise Refused(_("Choose at least one weekday."), field="weekdays")
        return
    if not 2 <= pattern.length <= LONGEST_CYCLE:  # noqa: PLR2004 -- one day is no cycle
        message = _("A cycle has 2 to %(most)s days.") % {"most": LONGEST_CYCLE}
        raise Refused(message, field="length")
    if not pattern.meets_on:
        raise Refused(_("Choose at least one day of the cycle."), field="meets_on")
    if not all(1 <= day <= pattern.length for day in (*pattern.meets_on, pattern.first_day)):
        message = _("The days of this cycle are 1 to %(length)s.") % {"length": pattern.length}
        raise Refused(message, field="meets_on")
    if not pattern.school_week:
        raise Refused(_("Choose at least one school day."), field="school_week")
    if abs((starts_on - pattern.counts_from).days) > LONGEST_DAYS:
        message = _("This is too far from the class's first day. Choose a nearer date.")
        raise Refused(message, field="counts_from")


def _locked_section(section: Section) -> Section:
    """A class's dates change one after the other."""
    return (
        Section.objects.select_for_update(of=("self",)).select_related("studio").get(pk=section.pk)
    )


def _current(meeting: Meeting) -> Meeting:
    kept = Meeting.objects.select_related("section__studio").filter(pk=meeting.pk).first()
    if kept is None:
        raise Refused(_("This lesson is gone: the dates were made anew. Look at them again."))
    return kept


def _make_room(meeting: Meeting, on: date) -> None:
    """A date that falls out and that nobody needs gives way."""
    there = Meeting.objects.filter(section=meeting.section, on=on).first()
    if there is None:
        return
    if not there.cancelled or there.absences.exists():
        raise Refused(_("The class meets on this date already."), field="on")
    there.delete()


def _set_cancelled(meeting: Meeting, by: User, *, cancelled: bool) -> Meeting:
    require_class(by, meeting.section)
    with transaction.atomic():
        _locked_section(meeting.section)
        kept = _current(meeting)
        if kept.cancelled != cancelled:
            kept.cancelled, kept.by_hand = cancelled, True
            kept.save(update_fields=["cancelled", "by_hand"])
            _record_meeting(kept, by, "lesson cancelled" if cancelled else "lesson restored")
    return kept


def _make_dates(section: Section, today: date) -> None:
    """Bring a locked class's meetings in line with its pattern."""
    pattern = pattern_from_json(section.pattern)
    if pattern is None or section.starts_on is None or section.ends_on is None:
        return
    closures = section.studio.closures.values_list("starts_on", "ends_on")
    wanted = set(meeting_dates(pattern, section.starts_on, section.ends_on, closures))
    meetings = Meeting.objects.filter(section=section)
    missed = Absence.objects.filter(meeting__section=section, meeting__on__lte=today)
    meetings.filter(by_hand=False).exclude(on__in=wanted).exclude(
        pk__in=missed.values("meeting")
    ).delete()
    there = set(meetings.values_list("on", flat=True))
    Meeting.objects.bulk_create(Meeting(section=section, on=day) for day in sorted(wanted - there))


def _make_all_dates(studio: Studio, today: date) -> None:
    sections = Section.objects.select_for_update(of=("self",)).select_related("studio")
    for section in sections.filter(studio=studio, archived=False).order_by("pk"):
        _make_dates(section, today)


def _record_meeting(
    meeting: Meeting, by: User, action: str, before: dict[str, Any] | None = None
) -> None:
    studio, after = meeting.section.studio, _told(meeting)
    record(studio=studio, by=by, action=action, subject=meeting, before=before, after=after)


def _told(meeting: Meeting) -> dict[str, Any]:
    return {"on": meeting.on.isoformat(), "note": meeting.note, "cancelled": meeting.cancelled}


def _record_closure(closure: Closure, by: User, action: str) -> None:
    after = {
        "name": closure.name,
        "starts_on": closure.starts_on.isoformat(),
        "ends_on": closure.ends_on.isoformat(),
    }
    record(studio=closure.studio, by=by, action=action, subject=closure, after=after)
