"""What holds for every page of people at once: queries, hostile values, names."""

from typing import Any
from urllib.parse import urlencode

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from studio.people import urls
from studio.people.models import (
    Absence,
    Closure,
    Enrolment,
    Meeting,
    Role,
    User,
)
from studio.people.services import enrol_new_student
from tests.cast import NOW, PASSWORD, TODAY, School, a_class, person, pupil, signed_in

from .test_pages import meet_today

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


def pages_of(cast: School) -> list[str]:
    section = f"/classes/{cast.section.pk}"
    return [
        "/people/",
        "/people/?q=a",
        f"/people/{cast.student.pk}/",
        f"{section}/people/",
        f"{section}/people/?q=a",
        f"{section}/dates/",
        f"{section}/cards/",
        f"{section}/edit/",
        "/settings/",
        "/tokens/",
        "/roster/",
    ]


def test_queries_do_not_depend_on_rows_and_are_fifteen_at_most(cast: School) -> None:
    client = signed_in(cast.head)
    meet_today(cast.section)

    def counted() -> dict[str, int]:
        counts = {}
        for path in pages_of(cast):
            with CaptureQueriesContext(
                connection,
            ) as queries:
                assert client.get(path).status_code == 200
            counts[path] = len(queries)
        return counts

    few = counted()
    for number in range(30):
        student = enrol_new_student(
            section=cast.section, by=cast.teacher, given_name=f"Ana{number}", at=NOW, on=TODAY
        )
        Absence.objects.create(meeting=meet_today(cast.section), student=student)
        pupil(cast.head, cast.other_section, "Adam", f"N{number}")
        Closure.objects.create(
            studio=cast.studio, name=f"Day {number}", starts_on=TODAY, ends_on=TODAY
        )
    for number in range(5):
        teacher = person(cast.head, Role.TEACHER, f"Teacher{number}", "A")
        section = a_class(cast.head, f"Extra {number}", "X", teacher, {0})
        Enrolment.objects.create(section=section, student=cast.student, joined_on=TODAY)
    assert counted() == few
    assert max(few.values()) <= 15, few


FORM = "application/x-www-form-urlencoded"
HOSTILE = [
    "",
    "\x00",
    "\ud800",
    "x" * 3000,
    "-1",
    "9" * 400,
    "1e999",
    "NaN",
    "0001-01-01",
    "9999-12-31",
    "<script>alert(1)</script>",
    "'; DROP TABLE people_user; --",
    "{{ user.password }}",
    "../../etc/passwd",
]


@pytest.mark.parametrize("value", HOSTILE)
def test_hostile_values_in_every_form_are_answered(cast: School, value: str) -> None:
    """No form answers with a 500, and none does what it was told."""
    client = signed_in(cast.head)
    meeting = Meeting.objects.filter(section=cast.section).earliest("on")
    section, student = f"/classes/{cast.section.pk}", f"people/{cast.student.pk}"
    fields = "name title code sourced_id given_name family_name username role on note to absent"
    fields += " time_zone length_unit mass_unit paper retention_years scope ends_at fingerprint"
    fields += " new again current cancelled teachers q page next"
    prefixed = "starts_on ends_on weekdays length meets_on counts_from first_day school_week name"
    data: dict[str, Any] = dict.fromkeys(fields.split(), value)
    for prefix in ("weekdays", "cycle", "closure"):
        data |= {f"{prefix}-{name}": value for name in prefixed.split()}
    # As bytes, since an unpaired surrogate is none that a browser could encode.
    sent = urlencode({key: each.encode("utf-8", "surrogatepass") for key, each in data.items()})
    paths = [
        "/people/new/",
        f"/{student}/edit/",
        "/classes/new/",
        f"{section}/edit/",
        f"{section}/people/new/",
        f"{section}/{student}/move/",
        f"{section}/{student}/absent/",
        f"{section}/dates/",
        f"{section}/dates/new/",
        f"{section}/dates/{meeting.pk}/",
        f"{section}/cards/",
        "/settings/",
        "/settings/closures/",
        "/tokens/",
        "/roster/",
        f"/roster/{'0' * 64}/apply/",
        "/password/",
    ]
    for path in paths:
        for kind in ("weekdays", "cycle") if path.endswith("/dates/") else ("",):
            answer = client.post(path, f"{sent}&kind={kind}", content_type=FORM)
            assert answer.status_code in {200, 302, 422}, (path, answer.status_code)
    for path in ("/people/", f"{section}/people/"):
        assert client.get(f"{path}?{sent}").status_code in {200, 400}
    assert User.objects.get(pk=cast.head.pk).check_password(PASSWORD)


def test_every_page_has_its_template_by_its_name() -> None:
    """View name = address name = file name."""
    for pattern in urls.urlpatterns:
        view = getattr(pattern.callback, "__name__", "")
        assert view == pattern.name
