"""The sign-off when building ends."""

from typing import Any

import pytest
from django.core.exceptions import PermissionDenied

from studio.errors import Conflict, Refused
from studio.people.models import AuditEntry
from studio.ware.models import GreenwareCheck
from studio.ware.services import Asked, lose_pots, withdraw_greenware
from tests.cast import NOW, School
from tests.studio.ware.pots import LATER, a_pot, bisqued, check, dried

pytestmark = pytest.mark.both_databases


@pytest.mark.parametrize("who", ["head", "teacher", "technician"])
def test_staff_measure_the_pot_as_it_stands(cast: School, who: str) -> None:
    pot = a_pot(cast)
    made = check(pot, getattr(cast, who), cracks="  hairline at the foot,\n pressed shut ")
    assert (made.height_mm, made.cracks) == (194, "hairline at the foot, pressed shut")
    kept = AuditEntry.objects.get(action="greenware checked")
    assert (kept.by, kept.subject_id) == (getattr(cast, who), str(pot.pk))
    assert kept.after["thickest_mm"] == 14


def test_students_and_teachers_of_others_check_nothing(cast: School) -> None:
    pot = a_pot(cast)
    for by in (cast.student, cast.other_teacher, cast.elsewhere.head, cast.nobody):
        with pytest.raises(PermissionDenied):
            check(pot, by)
        with pytest.raises(PermissionDenied):
            withdraw_greenware(pot=pot, by=by, at=NOW, reason="Higher")


def test_a_code_that_nobody_can_read_is_scratched_again_first(cast: School) -> None:
    pot = a_pot(cast)
    with pytest.raises(Refused, match=f"Scratch {pot.code} into the base again") as refused:
        check(pot, cast.teacher, code_legible=False)
    assert refused.value.problems[0].field == "code_legible"
    assert not GreenwareCheck.objects.exists()


@pytest.mark.parametrize(
    ("changed", "field", "says"),
    [
        # 194 mm typed in a studio of centimetres as 19.4 mm, or the other way round.
        ({"height_mm": 19.4}, "height_mm", "The plan says 20.0 cm here, you measured 1.9 cm"),
        ({"height_mm": 1940}, "height_mm", "you measured 194.0 cm"),
        ({"front_mm": 120}, "front_mm", "The plan says 19.0 cm here, you measured 12.0 cm"),
        ({"depth_mm": 400}, "depth_mm", "you measured 40.0 cm"),
        ({"thickest_mm": 40}, "thickest_mm", "The wall was to be 0.8 cm, you measured 4.0 cm"),
    ],
)
def test_a_size_far_from_the_plan_is_asked_about_and_taken_when_it_is_confirmed(
    cast: School, changed: dict[str, Any], field: str, says: str
) -> None:
    pot = a_pot(cast)
    with pytest.raises(Asked) as asked:
        check(pot, cast.teacher, **changed)
    [question] = asked.value.problems
    assert question.field == field
    assert says in question.message.replace("\xa0", " ")
    assert "tick below" in question.message
    assert not GreenwareCheck.objects.exists()
    assert getattr(check(pot, cast.teacher, confirm=True, **changed), field) == changed[field]


def test_handles_make_a_pot_wider_without_a_question(cast: School) -> None:
    assert check(a_pot(cast), cast.teacher, front_mm=280).front_mm == 280


def test_sizes_that_can_t_be_are_refused_even_if_confirmed(cast: School) -> None:
    with pytest.raises(Refused, match="less than or equal to 2000") as refused:
        check(a_pot(cast), cast.teacher, height_mm=2500, confirm=True)
    assert refused.value.problems[0].field == "height_mm"


def test_the_second_of_two_checks_reads_who_was_first(cast: School) -> None:
    pot = a_pot(cast)
    check(pot, cast.head)
    with pytest.raises(Conflict, match=f"Ines Halloran checked {pot.code} already"):
        check(pot, cast.teacher)


def test_a_check_is_taken_back_with_a_reason_and_made_again(cast: School) -> None:
    pot = a_pot(cast)
    first = check(pot, cast.teacher)
    with pytest.raises(Refused, match="Write why the check is taken back") as refused:
        withdraw_greenware(pot=pot, by=cast.teacher, at=LATER, reason=" ")
    assert refused.value.problems[0].field == "reason"
    back = withdraw_greenware(pot=pot, by=cast.teacher, at=LATER, reason="Two rows more")
    assert (back.pk, back.withdrawn_at) == (first.pk, LATER)
    kept = AuditEntry.objects.get(action="greenware check taken back")
    assert (kept.before["height_mm"], kept.after) == (194, {"reason": "Two rows more"})
    second = check(pot, cast.teacher, height_mm=210)
    assert list(GreenwareCheck.objects.standing()) == [second]


def test_without_a_check_there_is_none_to_take_back(cast: School) -> None:
    with pytest.raises(Conflict, match="has no greenware check"):
        withdraw_greenware(pot=a_pot(cast), by=cast.teacher, at=NOW, reason="Higher")


def test_after_the_firing_it_is_too_late(cast: School) -> None:
    pot = bisqued(a_pot(cast), cast.teacher)
    with pytest.raises(Conflict, match="its greenware check stays"):
        withdraw_greenware(pot=pot, by=cast.teacher, at=NOW, reason="Too high")
    GreenwareCheck.objects.all().delete()
    with pytest.raises(Conflict, match="belongs before the firing"):
        check(pot, cast.teacher)


def test_a_bone_dry_pot_can_be_measured_again(cast: School) -> None:
    pot = dried(a_pot(cast), cast.teacher)
    withdraw_greenware(pot=pot, by=cast.teacher, at=LATER, reason="Measured without the handle")
    assert check(pot, cast.teacher, front_mm=230).front_mm == 230


def test_a_broken_pot_is_not_checked(cast: School) -> None:
    pot = a_pot(cast)
    lose_pots(pots=[pot], kind="broken", by=cast.teacher, at=NOW)
    with pytest.raises(Refused, match="is broken"):
        check(pot, cast.teacher)
