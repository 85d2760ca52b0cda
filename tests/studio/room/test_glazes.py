"""Glazes kept by the studio's staff: what the label says, and what a laboratory said."""

from typing import Any

import pytest
from django.core.exceptions import PermissionDenied
from django.urls import reverse

from studio.errors import Refused
from studio.people.models import AuditEntry, User
from studio.room.models import Glaze
from studio.room.services import (
    add_glaze,
    bring_back_glaze,
    edit_glaze,
    record_leach_test,
    retire_glaze,
)
from tests.cast import School, signed_in
from tests.studio.kilns.kiln_room import GLAZE, text_of

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

LEACHED = "Invented laboratory, ASTM C738, 3 March 2026: lead and cadmium not detected"


def a_glaze(by: User, **changed: Any) -> Glaze:
    assert by.studio is not None
    return add_glaze(studio=by.studio, by=by, glaze=GLAZE | changed)


@pytest.mark.parametrize(
    ("changed", "field", "says"),
    [
        ({"cone_from": "7", "cone_to": "6"}, "cone_to", "Cone 7 is hotter than cone 6. Give the"),
        ({"cone_from": "1", "cone_to": "01"}, "cone_to", "Cone 1 is hotter than cone 01"),
        ({"cone_from": "7.5"}, "cone_from", "“7.5” is not in the cone table. Type one such as 06"),
        ({"cone_to": "15"}, "cone_to", "“15” is not in the cone table"),
        ({"cone_to": ""}, "cone_to", "cannot be blank"),
        ({"name": " "}, "name", "cannot be blank"),
        ({"hazard_note": "x" * 401}, "hazard_note", "at most 400"),
    ],
)
def test_what_a_label_can_t_say_is_refused_at_its_field(
    cast: School, changed: dict[str, Any], field: str, says: str
) -> None:
    with pytest.raises(Refused, match=says) as refused:
        a_glaze(cast.teacher, **changed)
    assert refused.value.problems[0].field == field
    assert not Glaze.objects.exists()


def test_a_name_is_there_once_whatever_its_capitals(cast: School) -> None:
    a_glaze(cast.teacher)
    with pytest.raises(Refused, match="has a glaze of this name already"):
        a_glaze(cast.head, name="RIVER  blue")
    a_glaze(cast.elsewhere.teacher)


def test_a_leach_test_is_recorded_once_with_who_did(cast: School) -> None:
    glaze = record_leach_test(glaze=a_glaze(cast.teacher), by=cast.technician, result=LEACHED)
    entry = AuditEntry.objects.get(action="leach test recorded")
    assert (entry.by, entry.after) == (cast.technician, {"leach_test": LEACHED})
    record_leach_test(glaze=glaze, by=cast.technician, result=LEACHED)
    assert AuditEntry.objects.filter(action="leach test recorded").count() == 1
    with pytest.raises(Refused, match="at most 200"):
        record_leach_test(glaze=glaze, by=cast.head, result="x" * 201)


@pytest.mark.parametrize("who", ["teacher", "student", "nobody"])
def test_nobody_but_head_and_technician_answers_for_a_leach_test(cast: School, who: str) -> None:
    glaze = a_glaze(cast.teacher)
    with pytest.raises(PermissionDenied):
        record_leach_test(glaze=glaze, by=getattr(cast, who), result=LEACHED)
    with pytest.raises(PermissionDenied):
        record_leach_test(glaze=glaze, by=cast.elsewhere.head, result=LEACHED)


def test_another_cone_range_takes_the_leach_test_back_and_other_words_keep_it(
    cast: School,
) -> None:
    glaze = record_leach_test(glaze=a_glaze(cast.teacher), by=cast.head, result=LEACHED)
    edit_glaze(glaze=glaze, by=cast.teacher, values={"hazard_note": "Contains copper, barium."})
    assert edit_glaze(glaze=glaze, by=cast.teacher, values={}).leach_test == LEACHED
    edit_glaze(glaze=glaze, by=cast.teacher, values={"cone_to": "7"})
    glaze.refresh_from_db()
    assert glaze.leach_test == ""
    entry = AuditEntry.objects.filter(action="glaze edited").latest("at")
    assert entry.before == {"cone_to": "6", "leach_test": LEACHED}


def test_a_retired_glaze_is_brought_back(cast: School) -> None:
    glaze = retire_glaze(glaze=a_glaze(cast.teacher), by=cast.technician)
    retire_glaze(glaze=glaze, by=cast.technician)
    assert not Glaze.objects.in_use().exists()
    bring_back_glaze(glaze=glaze, by=cast.head)
    assert Glaze.objects.in_use().exists()
    assert AuditEntry.objects.filter(action__startswith="glaze").count() == 3


def test_students_and_strangers_change_nothing_and_students_see_the_shelf(cast: School) -> None:
    glaze = a_glaze(cast.teacher)
    for by in (cast.student, cast.nobody, cast.elsewhere.head):
        with pytest.raises(PermissionDenied):
            edit_glaze(glaze=glaze, by=by, values={"name": "Mine"})
        with pytest.raises(PermissionDenied):
            retire_glaze(glaze=glaze, by=by)
        with pytest.raises(PermissionDenied):
            add_glaze(studio=cast.studio, by=by, glaze=GLAZE)
    assert Glaze.objects.visible_to(cast.student).get() == glaze
    assert not Glaze.objects.visible_to(cast.nobody).exists()
    assert not Glaze.objects.visible_to(cast.elsewhere.student).exists()


class TestThePages:
    def test_a_glaze_is_not_for_food_until_a_leach_test_is_recorded(self, cast: School) -> None:
        client = signed_in(cast.technician)
        page = text_of(client.post(reverse("glaze_new"), GLAZE, follow=True))
        assert "River blue is on the list" in page
        assert "Not for food. No laboratory leach test is recorded." in page
        assert "The maker says: Dinnerware safe at cone 6" in page
        assert "It does not mean that a glaze is not toxic" in page
        glaze = Glaze.objects.get()
        path = reverse("glaze_leach_test", args=[glaze.pk])
        page = text_of(client.post(path, {"leach_test": LEACHED}, follow=True))
        assert f"Leach test: {LEACHED}" in page
        assert "Not for food" not in page

    def test_a_teacher_reads_who_records_leach_tests(self, cast: School) -> None:
        glaze = a_glaze(cast.teacher)
        client = signed_in(cast.teacher)
        page = text_of(client.get(reverse("glaze_edit", args=[glaze.pk])))
        assert "A head or a technician records it." in page
        path = reverse("glaze_leach_test", args=[glaze.pk])
        assert client.post(path, {"leach_test": LEACHED}).status_code == 403

    def test_what_is_refused_stands_at_its_field(self, cast: School) -> None:
        client = signed_in(cast.head)
        page = text_of(client.post(reverse("glaze_new"), GLAZE | {"cone_from": "10"}))
        assert "Cone 10 is hotter than cone 6" in page
        glaze = a_glaze(cast.teacher)
        a_glaze(cast.teacher, name="Oat")
        edit = reverse("glaze_edit", args=[glaze.pk])
        page = text_of(client.post(edit, GLAZE | {"name": "oat"}))
        assert "of this name already" in page
        path = reverse("glaze_leach_test", args=[glaze.pk])
        assert "at most 200" in text_of(client.post(path, {"leach_test": "x" * 300}))
        page = text_of(client.post(path, {"leach_test": "a\0b"}))
        assert "Null characters" in page

    def test_a_glaze_is_edited_retired_and_brought_back(self, cast: School) -> None:
        client, glaze = signed_in(cast.teacher), a_glaze(cast.teacher)
        edit = reverse("glaze_edit", args=[glaze.pk])
        assert "Kept." in text_of(client.post(edit, GLAZE | {"runs": ""}, follow=True))
        away = reverse("glaze_retire", args=[glaze.pk])
        assert "no longer offered" in text_of(client.post(away, follow=True))
        back = reverse("glaze_bring_back", args=[glaze.pk])
        assert "is offered again" in text_of(client.post(back, follow=True))


class TestTheApi:
    def test_staff_list_add_and_change_and_students_read(self, cast: School) -> None:
        client = signed_in(cast.technician)
        sent = GLAZE | {"leach_test": LEACHED}
        made = client.post(reverse("api_glazes"), sent, content_type="application/json")
        assert made.status_code == 201, made.content
        assert made.json()["leach_test"] == LEACHED
        one = reverse("api_glaze", args=[made.json()["id"]])
        changed = client.patch(
            one, {"cone_to": "7", "retired": True}, content_type="application/json"
        ).json()
        assert (changed["cone_to"], changed["leach_test"], changed["retired"]) == ("7", "", True)
        assert signed_in(cast.student).get(one).json() == changed
        again = client.patch(
            one, {"leach_test": LEACHED, "retired": False}, content_type="application/json"
        ).json()
        assert (again["leach_test"], again["retired"]) == (LEACHED, False)
        listed = client.get(reverse("api_glazes")).json()
        assert [each["name"] for each in listed["results"]] == ["River blue"]

    def test_a_teacher_records_no_leach_test_and_nothing_else_is_written_then(
        self, cast: School
    ) -> None:
        client = signed_in(cast.teacher)
        sent = GLAZE | {"leach_test": LEACHED}
        answer = client.post(reverse("api_glazes"), sent, content_type="application/json")
        assert answer.status_code == 403
        assert not Glaze.objects.exists()
        one = reverse("api_glaze", args=[a_glaze(cast.teacher).pk])
        body = {"name": "Mine", "leach_test": LEACHED}
        assert client.patch(one, body, content_type="application/json").status_code == 403
        assert Glaze.objects.get().name == "River blue"
