"""Clay bodies kept by the studio's staff."""

from typing import Any

import pytest
from django.core.exceptions import PermissionDenied

from studio.errors import Refused
from studio.people.models import AuditEntry
from studio.room.models import ClayBody
from studio.room.services import add_body, bring_back_body, edit_body, retire_body
from tests.cast import School
from tests.planning.projects import a_body

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


@pytest.mark.parametrize("who", ["head", "teacher", "technician"])
def test_staff_add_a_body_with_where_its_figures_come_from(cast: School, who: str) -> None:
    body = a_body(getattr(cast, who))
    entry = AuditEntry.objects.get(action="clay body added")
    assert entry.after["wet_density_g_per_cm3"] == "1.95"
    assert (body.studio, entry.by) == (cast.studio, getattr(cast, who))


@pytest.mark.parametrize(
    ("changed", "field", "says"),
    [
        ({"total_shrinkage_pct": 5.9}, "total_shrinkage_pct", "at least the drying shrinkage"),
        ({"wet_density_g_per_cm3": 1950}, "wet_density_g_per_cm3", "no more than 4 digits"),
        ({"wet_density_g_per_cm3": 0.5}, "wet_density_g_per_cm3", "greater than or equal to 1"),
        ({"water_pct_wet_basis": 41}, "water_pct_wet_basis", "less than or equal to 40"),
        ({"water_pct_wet_basis": 20.123}, "water_pct_wet_basis", "2 decimal places"),
        ({"name": " \0 "}, "name", "cannot be blank"),
        ({"source": ""}, "source", "cannot be blank"),
        ({"name": "x" * 81}, "name", "at most 80"),
        ({"cone": "06 or 6"}, "cone", "at most 4"),
    ],
)
def test_figures_that_can_t_be_are_refused_at_their_field(
    cast: School, changed: dict[str, Any], field: str, says: str
) -> None:
    with pytest.raises(Refused, match=says) as refused:
        a_body(cast.teacher, **changed)
    assert refused.value.problems[0].field == field
    assert not ClayBody.objects.exists()


def test_a_name_is_there_once_whatever_its_capitals(cast: School) -> None:
    a_body(cast.teacher)
    with pytest.raises(Refused, match="of this name already"):
        a_body(cast.teacher, name="GROGGED  stoneware")
    a_body(cast.elsewhere.teacher)


def test_an_edit_keeps_what_changed(cast: School) -> None:
    body = a_body(cast.teacher)
    edit_body(
        body=body, by=cast.technician, values={"drying_shrinkage_pct": 6.5, "source": body.source}
    )
    entry = AuditEntry.objects.get(action="clay body edited")
    assert (entry.before, entry.after) == (
        {"drying_shrinkage_pct": "6.00"},
        {"drying_shrinkage_pct": "6.50"},
    )


def test_a_retired_body_is_brought_back(cast: School) -> None:
    body = retire_body(body=a_body(cast.teacher), by=cast.technician)
    assert not ClayBody.objects.in_use().exists()
    bring_back_body(body=body, by=cast.head)
    assert ClayBody.objects.in_use().exists()
    assert AuditEntry.objects.filter(action__startswith="clay body").count() == 3


def test_students_and_strangers_change_nothing(cast: School) -> None:
    body = a_body(cast.teacher)
    for by in (cast.student, cast.nobody, cast.elsewhere.head):
        with pytest.raises(PermissionDenied):
            edit_body(body=body, by=by, values={"name": "Mine"})
        with pytest.raises(PermissionDenied):
            retire_body(body=body, by=by)
        with pytest.raises(PermissionDenied):
            add_body(studio=cast.studio, by=by, body={})
