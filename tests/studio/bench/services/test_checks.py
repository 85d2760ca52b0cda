"""Build checks are judged, kept for good, and struck out with a reason."""

import pytest
from django.core.exceptions import PermissionDenied

from planning.bench.measured import Measured
from planning.geometry.inputs import Outline
from planning.services.plans import approve
from studio.bench.models import BuildCheck
from studio.bench.services import agree_to_carry_on, check_build, strike_out
from studio.errors import Conflict, Refused
from studio.people.models import AuditEntry
from studio.ware.services import begin_pot
from tests.cast import NOW, School
from tests.planning.work import a_piece_with_a_plan
from tests.studio.bench.pots import SOON, TOO_WIDE, WITHIN, agreed_before, asked, checked, laid
from tests.studio.ware.pots import a_pot, again, check

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


def test_a_check_keeps_what_was_measured_what_is_planned_and_the_answer(cast: School) -> None:
    """190 mm are planned at 100 mm (the middle line of the drawing); 206 mm are 16 mm too wide,
    8.4 % of it, beyond what is pressed in: six darts take in π × 16 mm (about 50 mm, 8.4 each)."""
    kept = checked(laid(cast), cast.student, TOO_WIDE)
    [place] = kept.places
    assert place["measured"]["front_mm"] == 206
    assert place["planned"]["front_mm"] == pytest.approx(190)
    assert place["deviation_mm"] == pytest.approx(16)
    assert place["action"] == "dart"
    assert place["darts"]["count"] == 6
    assert place["darts"]["width_mm"] == pytest.approx(3.14159265 * 16 / 6, rel=1e-6)
    assert (kept.by, str(kept), kept.worst_mm) == (
        cast.student,
        f"{kept.pot} build check",
        place["deviation_mm"],
    )
    assert kept.get_absolute_url() == f"/build-checks/{kept.pk}/"


def test_the_assignment_s_tolerance_counts(cast: School) -> None:
    pot = a_pot(cast)
    [near] = check_build(pot=pot, measured=WITHIN, by=cast.student, at=NOW).places
    assert near["action"] == "within"
    terms = pot.piece.assignment
    terms.tolerance_mm, terms.tolerance_pct = 0, 0
    terms.save()
    [off] = check_build(pot=again(pot), measured=WITHIN, by=cast.student, at=NOW).places
    assert off["action"] == "steer"


def test_what_can_t_be_judged_is_said_at_its_place_and_nothing_is_kept(cast: School) -> None:
    pot = a_pot(cast)
    measured = [Measured(100, "soft", front_mm=190), Measured(50, "soft", front_mm=12)]
    with pytest.raises(Refused, match="less than the wall's own thickness") as refused:
        check_build(pot=pot, measured=measured, by=cast.student, at=NOW)
    assert [each.field for each in refused.value.problems] == ["measured.1.front_mm"]
    for several, said in (([], "Measure one place"), ([*WITHIN] * 21, "at most 20 places")):
        with pytest.raises(Refused, match=said):
            check_build(pot=pot, measured=several, by=cast.student, at=NOW)
    assert not BuildCheck.objects.exists()


def test_after_the_greenware_check_no_build_check_is_made(cast: School) -> None:
    pot = a_pot(cast)
    check(pot, cast.teacher)
    with pytest.raises(Conflict, match="building has ended"):
        checked(again(pot), cast.student)


def test_whoever_carries_on_is_checked_by_the_outline_that_was_agreed_on(cast: School) -> None:
    """206 mm at the edge were agreed to: a little above it 205 mm are as planned now, and would
    have been 15 mm too wide by the plan."""
    question = asked(cast, 4)
    [before] = checked(question.pot, cast.student, (Measured(104, "soft", front_mm=205),)).places
    assert before["action"] == "dart"
    strike_out(
        check=BuildCheck.objects.order_by("-at", "-pk").exclude(pk=question.check_made_id)[0],
        reason="Too early",
        by=cast.student,
        at=SOON,
    )
    agree_to_carry_on(asked=question, by=cast.teacher, at=SOON)
    [after] = checked(question.pot, cast.student, (Measured(104, "soft", front_mm=205),), 2).places
    assert after["action"] == "within"
    assert after["planned"]["front_mm"] == pytest.approx(205, abs=1)


def test_a_consent_that_comes_while_a_check_is_worked_out_counts(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    question = asked(cast, 4)
    agreed_before("studio.bench.services.checks.judged", question, cast, monkeypatch)
    with pytest.raises(Conflict, match="Your teacher agreed to new rows just now"):
        checked(question.pot, cast.student, hours=2)


def test_a_wrong_check_is_struck_out_by_its_maker_or_staff_with_a_reason(cast: School) -> None:
    pot = laid(cast)
    wrong, other = checked(pot, cast.student), checked(pot, cast.teacher, hours=2)
    with pytest.raises(Refused, match="Write what was wrong with it") as refused:
        strike_out(check=wrong, reason=" ", by=cast.student, at=SOON)
    assert refused.value.problems[0].field == "reason"
    kept = strike_out(check=wrong, reason="The other pot", by=cast.student, at=SOON)
    assert (kept.reason, kept.struck_out_by, kept.places) == (
        "The other pot",
        cast.student,
        wrong.places,
    )
    entry = AuditEntry.objects.get(action="build check struck out")
    assert entry.after == {"pot": str(pot.pk), "reason": "The other pot"}
    with pytest.raises(Conflict, match="struck out already"):
        strike_out(check=wrong, reason="Twice", by=cast.teacher, at=SOON)
    with pytest.raises(PermissionDenied):
        strike_out(check=other, reason="Not mine", by=cast.student, at=SOON)
    with pytest.raises(PermissionDenied):
        strike_out(check=other, reason="Not seen", by=cast.other_teacher, at=SOON)
    strike_out(check=other, reason="Ruler upside down", by=cast.technician, at=SOON)
    assert not BuildCheck.objects.standing().exists()


def test_a_check_that_a_question_rests_on_stays(cast: School) -> None:
    question = asked(cast)
    with pytest.raises(Conflict, match="Take the question back first"):
        strike_out(check=question.check_made, reason="Wrong", by=cast.student, at=SOON)


def test_an_oval_pot_is_judged_by_its_depth_too(cast: School) -> None:
    """Of an outline 0.7 as deep as wide 190 mm are 133 mm deep."""
    plan = a_piece_with_a_plan(cast, "An oval one", outline=Outline("oval", depth_ratio=0.7))
    approve(plan=plan, by=cast.teacher, at=NOW)
    pot = begin_pot(piece=plan.piece, by=cast.teacher, at=NOW)
    measured = [Measured(100, "soft", front_mm=190, depth_mm=141)]
    [place] = check_build(pot=pot, measured=measured, by=cast.student, at=NOW).places
    assert place["planned"]["depth_mm"] == pytest.approx(133)
    assert place["deviation_mm"] == pytest.approx(8)
