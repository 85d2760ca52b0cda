"""What a roster would change in a studio as it stands now. Reads only; six queries for any size.

Students are found by (studio, sourcedId) and by nothing else. Staff are never changed.
"""

from collections.abc import Iterator
from datetime import date

from django.db.models.functions import Lower
from django.utils.translation import gettext as _

from studio.people.access import TEACHING
from studio.people.models import Enrolment, Section, Studio, Teaching, User
from studio.people.names import names_like, sign_in_name_from

from .changes import Changed, Joining, Leaving, NewClass, NewStudent, RosterPlan
from .rows import BadRow, ClassRow, EnrolmentRow, PersonRow, Roster

PERSON_FIELDS = ("given_name", "family_name", "username")


def roster_plan(roster: Roster, studio: Studio, today: date) -> RosterPlan:
    """The whole plan; bad rows come in the order of their files and lines."""
    return _Planner(roster, studio, today).plan()


class _Planner:
    def __init__(self, roster: Roster, studio: Studio, today: date) -> None:
        self.roster, self.today = roster, today
        self.out = RosterPlan(bad=list(roster.bad), notes=list(roster.notes))
        known = User.objects.filter(studio=studio).exclude(sourced_id="")
        self.people = {person.sourced_id: person for person in known}
        self.names = dict(
            User.objects.filter(studio=studio)
            .annotate(low=Lower("username"))
            .values_list("pk", "low")
        )
        sections = list(Section.objects.filter(studio=studio))
        self.sections = {each.sourced_id: each for each in sections if each.sourced_id}
        self.made_by_hand = {each.title.casefold() for each in sections if not each.sourced_id}
        self.enrolled = {
            (each.section.sourced_id, each.student_id): each
            for each in Enrolment.objects.current()
            .filter(section__studio=studio)
            .exclude(section__sourced_id="")
            .select_related("section", "student")
        }
        self.taught = set(
            Teaching.objects.filter(section__studio=studio).values_list(
                "section__sourced_id", "teacher__sourced_id"
            )
        )

    def plan(self) -> RosterPlan:
        self._people()
        self._classes()
        self._enrolments()
        self._teaching()
        self._left()
        self.out.bad.sort(key=lambda bad: (bad.file, bad.line))
        return self.out

    # People

    def _people(self) -> None:
        wanted = [row for row in self.roster.people.values() if self._is_ours(row)]
        named = self._sign_in_names(wanted)
        for row in wanted:
            after = {
                "given_name": row.given_name,
                "family_name": row.family_name,
                "username": named[row.sourced_id],
            }
            person = self.people.get(row.sourced_id)
            if person is None:
                self.out.new.append(NewStudent(sourced_id=row.sourced_id, **after))
                continue
            before = {field: getattr(person, field) for field in PERSON_FIELDS}
            if before == after:
                self.out.unchanged += 1
            else:
                changed = {key: after[key] for key in after if after[key] != before[key]}
                told = {key: before[key] for key in changed}
                self.out.changed.append(Changed(person.pk, person.name, told, changed))

    def _is_ours(self, row: PersonRow) -> bool:
        """A student to make or to compare; everybody else is left alone, with a word why."""
        person = self.people.get(row.sourced_id)
        if person is not None and not person.is_student:
            if row.is_student:
                self._bad(row, _("This id belongs to staff. An import never changes staff."))
            return False
        if not row.is_student:
            if person is not None:
                self._bad(row, _("The file says staff, but this id is a student here."))
            elif not row.leaves:
                message = _("%(name)s is not a student. A head makes accounts of staff by hand.")
                self.out.notes.append(
                    message % {"name": f"{row.given_name} {row.family_name}".strip()}
                )
            return False
        return not row.leaves

    def _sign_in_names(self, rows: list[PersonRow]) -> dict[str, str]:
        """By roster id: the file's name where it is free, else the old one, else a made one."""
        asks = {row.sourced_id: row.username for row in rows}
        renaming = {
            person.pk
            for roster_id, person in self.people.items()
            if asks.get(roster_id) and asks[roster_id] != self.names[person.pk]
        }
        taken = {name for pk, name in self.names.items() if pk not in renaming}
        chosen: dict[str, str] = {}
        offered: dict[str, Iterator[str]] = {}
        for row in rows:
            person = self.people.get(row.sourced_id)
            if person is not None and person.pk not in renaming:
                chosen[row.sourced_id] = person.username
                continue
            if not row.username or row.username in taken:
                continue
            chosen[row.sourced_id] = row.username
            taken.add(row.username)
        for row in rows:
            if row.sourced_id in chosen:
                continue
            person = self.people.get(row.sourced_id)
            if person is not None and self.names[person.pk] not in taken:
                name = person.username
            else:
                wanted = sign_in_name_from(row.given_name, row.family_name)
                # What was passed over stays taken: the next of that name goes on from there.
                like = offered.setdefault(wanted, names_like(wanted))
                name = next(each for each in like if each not in taken)
            chosen[row.sourced_id] = name
            taken.add(name)
            if row.username:
                message = _("“%(wanted)s” is somebody else's sign-in name; %(who)s has “%(name)s”.")
                who = f"{row.given_name} {row.family_name}".strip()
                self.out.notes.append(message % {"wanted": row.username, "who": who, "name": name})
        return chosen

    # Classes

    def _classes(self) -> None:
        for row in self.roster.classes.values():
            section = self.sections.get(row.sourced_id)
            if section is None:
                self.out.new_classes.append(NewClass(row.sourced_id, row.title, row.code))
                if row.title.casefold() in self.made_by_hand:
                    self.out.notes.append(_same_name(row))
                continue
            after = {"title": row.title} | ({"code": row.code} if row.code else {})
            before = {key: getattr(section, key) for key in after}
            if before != after:
                changed = {key: after[key] for key in after if after[key] != before[key]}
                told = {key: before[key] for key in changed}
                self.out.changed_classes.append(Changed(section.pk, section.title, told, changed))

    # Who is in which class

    def _enrolments(self) -> None:
        coming = {student.sourced_id: student.name for student in self.out.new}
        for row in self.roster.enrolments.values():
            title = self._title(row)
            if title is None:
                continue
            person = self.people.get(row.person_id)
            if person is not None and not person.is_student:
                self._bad(row, _("This id belongs to staff, who can't be enrolled as students."))
                continue
            if person is None and row.person_id not in coming:
                if not self._goes(row):
                    self._bad(row, _("No student has this id, in the file or in the studio."))
                continue
            enrolled = self.enrolled.get((row.class_id, person.pk)) if person else None
            if enrolled is None and not self._goes(row):
                name = person.name if person else coming[row.person_id]
                self.out.joining.append(
                    Joining(row.class_id, title, row.person_id, name, row.begins_on, row.sourced_id)
                )

    def _goes(self, row: EnrolmentRow) -> bool:
        """Whether this row says that its student is not in the class, or no longer."""
        person = self.roster.people.get(row.person_id)
        over = row.ends_on is not None and row.ends_on < self.today
        return row.leaves or over or (person is not None and person.leaves)

    def _title(self, row: EnrolmentRow) -> str | None:
        section = self.sections.get(row.class_id)
        if section is not None and section.archived:
            self._bad(row, _("This class is over. Open it again on its page, or leave it out."))
            return None
        if row.class_id in self.roster.classes:
            return self.roster.classes[row.class_id].title
        if section is not None:
            return section.title
        if not self._goes(row):
            self._bad(row, _("No class has this id, in the file or in the studio."))
        return None

    def _teaching(self) -> None:
        for row in self.roster.teaching.values():
            title = self._title(row)
            if title is None or self._goes(row):
                continue
            person = self.people.get(row.person_id)
            if person is None:
                message = _("The teacher of %(section)s has no account with this id.")
                self._bad(row, message % {"section": title})
            elif person.role not in TEACHING:
                self._bad(row, _("This id belongs to somebody who doesn't teach."))
            elif (row.class_id, row.person_id) not in self.taught:
                self.out.teaching.append(
                    Joining(row.class_id, title, row.person_id, person.name, None, "")
                )

    def _left(self) -> None:
        """Students of a whole class whom the file doesn't name, and those it sends away."""
        for (class_id, _student), enrolment in self.enrolled.items():
            person_id = enrolment.student.sourced_id
            row = self.roster.enrolments.get((class_id, person_id))
            person = self.roster.people.get(person_id) if person_id else None
            sent = row is not None and self._goes(row)
            sent = sent or (person is not None and person.leaves and person.is_student)
            missing = (
                person_id != ""  # enrolled by hand: no roster can name them
                and class_id in self.roster.whole_classes
                and (class_id, person_id) not in self.roster.named
            )
            if (sent or missing) and not enrolment.section.archived:
                self.out.left.append(
                    Leaving(enrolment.pk, enrolment.section.title, enrolment.student.name)
                )
        self.out.left.sort(key=lambda each: (each.class_title, each.name, each.enrolment_pk))

    def _bad(self, row: PersonRow | EnrolmentRow, reason: str) -> None:
        self.out.bad.append(BadRow(row.file, row.line, reason))


def _same_name(row: ClassRow) -> str:
    message = _(
        "A class “%(title)s” stands here already, without a roster id; the file would make a "
        "second one. To fill that class, first write “%(id)s” under “Name and teachers” as its id "
        "in the school's roster, then read the file again."
    )
    return message % {"title": row.title, "id": row.sourced_id}
