"""Kilns and their furniture, as a technician describes them."""

from datetime import time
from typing import Any

import pytest
from django.core.exceptions import PermissionDenied

from studio.errors import Refused
from studio.people.models import AuditEntry, User
from studio.room.models import Kiln
from studio.room.services import add_kiln, bring_back_kiln, edit_kiln, retire_kiln
from studio.room.services.kilns import MOST_POSTS, Posts
from tests.cast import School
from tests.studio.kilns.kiln_room import KILN

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


def added(by: User, **changed: Any) -> Kiln:
    assert by.studio is not None
    return add_kiln(studio=by.studio, by=by, kiln=KILN | {"confirms_shut_off": by} | changed)


def test_a_kiln_is_added_with_its_posts_in_order_and_in_the_audit(cast: School) -> None:
    kiln = added(cast.technician, posts=[Posts(150, 2), Posts(100.4, 1)])
    assert [(each.height_mm, each.sets) for each in kiln.posts.all()] == [(100, 1), (150, 2)]
    entry = AuditEntry.objects.get(action="kiln added")
    assert entry.by == cast.technician
    assert entry.after["posts"] == ["1 × 100 mm", "2 × 150 mm"]
    assert entry.after["off_until"] == "21:30"


@pytest.mark.parametrize("shape", ["round", "octagon"])
def test_a_round_or_eight_sided_shelf_has_one_measure(cast: School, shape: str) -> None:
    kiln = added(cast.head, shelf_shape=shape, shelf_depth_mm=300)
    assert kiln.shelf_depth_mm == kiln.shelf_width_mm == 520
    assert added(cast.head, name="Oval", shelf_shape="oval", shelf_depth_mm=300).shelf_depth_mm == (
        300
    )


@pytest.mark.parametrize(
    ("changed", "field", "says"),
    [
        ({"name": ""}, "name", "cannot be blank"),
        ({"shelf_shape": "square"}, "shelf_shape", "not a valid choice"),
        ({"shelf_width_mm": 99}, "shelf_width_mm", "greater than or equal to 100"),
        ({"usable_height_mm": 3001}, "usable_height_mm", "less than or equal to 3000"),
        ({"most_c": 1500}, "most_c", "less than or equal to 1400"),
        ({"unload_below_c": 200}, "unload_below_c", "less than or equal to 100"),
        ({"cooling_h": 0.1}, "cooling_h", "greater than or equal to 0.5"),
        ({"posts": [Posts(10, 1)]}, "posts.0.height_mm", "greater than or equal to 20"),
        ({"posts": [Posts(100, 1), Posts(100, 2)]}, "posts.1.height_mm", "stands above already"),
        ({"posts": [Posts(100, 0)]}, "posts.0.sets", "greater than or equal to 1"),
        ({"posts": [Posts(100 + n, 1) for n in range(MOST_POSTS + 1)]}, "posts", "at most 12"),
    ],
)
def test_measures_that_can_t_be_are_refused_at_their_field(
    cast: School, changed: dict[str, Any], field: str, says: str
) -> None:
    with pytest.raises(Refused, match=says) as refused:
        added(cast.technician, **changed)
    assert refused.value.problems[0].field == field
    assert not Kiln.objects.exists()


def test_whoever_confirms_the_shut_off_is_staff_of_the_studio_and_still_there(
    cast: School,
) -> None:
    cast.other_teacher.is_active = False
    cast.other_teacher.save()
    for person in (cast.student, cast.elsewhere.head, cast.other_teacher):
        with pytest.raises(Refused, match="who stands at the kiln then") as refused:
            added(cast.technician, confirms_shut_off=person)
        assert refused.value.problems[0].field == "confirms_shut_off"


def test_kilns_that_never_fire_together_know_it_of_each_other(cast: School) -> None:
    tall = added(cast.head)
    small = added(cast.head, name="Small kiln", not_together_with=[tall])
    assert list(tall.not_together_with.all()) == [small]
    edit_kiln(kiln=tall, by=cast.head, values={"not_together_with": []})
    assert not small.not_together_with.exists()
    for other in (tall, added(cast.elsewhere.head)):
        with pytest.raises(Refused, match="the studio's other kilns"):
            edit_kiln(kiln=tall, by=cast.head, values={"not_together_with": [other]})


def test_a_name_is_there_once_whatever_its_capitals(cast: School) -> None:
    added(cast.head)
    with pytest.raises(Refused, match="has a kiln of this name already"):
        added(cast.head, name="TALL kiln")
    added(cast.elsewhere.head)


def test_an_edit_keeps_what_changed_and_what_is_left_out_stays(cast: School) -> None:
    kiln = added(cast.head)
    edit_kiln(kiln=kiln, by=cast.technician, values={"off_until": time(22), "note": ""})
    entry = AuditEntry.objects.get(action="kiln edited")
    assert (entry.before, entry.after) == ({"off_until": "21:30"}, {"off_until": "22:00"})
    assert kiln.posts.count() == 4
    edit_kiln(kiln=kiln, by=cast.technician, values={"posts": [Posts(120, 3)]})
    assert [str(each) for each in kiln.posts.all()] == ["3 × 120 mm"]
    edit_kiln(kiln=kiln, by=cast.technician, values={})
    assert AuditEntry.objects.filter(action="kiln edited").count() == 2


def test_a_retired_kiln_is_brought_back(cast: School) -> None:
    kiln = retire_kiln(kiln=added(cast.head), by=cast.technician)
    retire_kiln(kiln=kiln, by=cast.technician)
    assert not Kiln.objects.in_use().exists()
    bring_back_kiln(kiln=kiln, by=cast.teacher)
    assert Kiln.objects.in_use().exists()
    assert AuditEntry.objects.filter(action__startswith="kiln").count() == 3


def test_students_and_strangers_change_nothing(cast: School) -> None:
    kiln = added(cast.head)
    for by in (cast.student, cast.nobody, cast.elsewhere.head):
        with pytest.raises(PermissionDenied):
            edit_kiln(kiln=kiln, by=by, values={"name": "Mine"})
        with pytest.raises(PermissionDenied):
            retire_kiln(kiln=kiln, by=by)
        with pytest.raises(PermissionDenied):
            add_kiln(studio=cast.studio, by=by, kiln={})
    assert not Kiln.objects.visible_to(cast.student).exists()
    assert not Kiln.objects.visible_to(cast.elsewhere.head).exists()
