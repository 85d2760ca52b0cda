"""Who may go in, in the order of urgency: late first, then who has waited longest."""

from datetime import date, timedelta

import pytest

from studio.kilns.models import Program, Slot
from studio.kilns.selectors.load_view import may_fill, of_section
from studio.kilns.selectors.waiting import by_class, keeps_out, waiting_for
from studio.kilns.services.loads import place_pots
from studio.ware.services import check_dryness
from tests.cast import NOW, TODAY, School
from tests.planning.projects import DUE
from tests.studio.kilns.kiln_room import a_kiln, a_slot
from tests.studio.kilns.loading import LATER, many_dry
from tests.studio.ware.pots import a_glaze, a_pot, glazed

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


def codes(slot: Slot, today: date = TODAY) -> list[str]:
    return [each.pot.code for each in waiting_for(slot, today)]


def test_the_oldest_dryness_check_comes_first_and_what_is_in_a_load_waits_no_more(
    cast: School,
) -> None:
    slot = a_slot(cast.technician)
    one, two, three = many_dry(cast, 3)
    check_dryness(pots=[one], air_dry=True, by=cast.teacher, at=LATER + timedelta(days=1))
    check_dryness(pots=[two], air_dry=True, by=cast.teacher, at=LATER + timedelta(hours=1))
    assert codes(slot) == [three.code, two.code, one.code]
    place_pots(slot=slot, pots=[two], by=cast.technician, at=NOW)
    assert codes(slot) == [three.code, one.code]


def test_late_pots_go_first_and_classes_follow_their_most_urgent_pot(cast: School) -> None:
    slot = a_slot(cast.technician)
    ours = many_dry(cast, 1)
    theirs = many_dry(
        cast, 2, section=cast.other_section, teacher=cast.other_teacher, title="Due earlier"
    )
    late = theirs[0].piece.assignment
    late.due_on = TODAY - timedelta(days=1)
    late.save()
    waiting = waiting_for(slot, TODAY)
    assert [each.late for each in waiting] == [True, True, False]
    assert [section for section, _pots in by_class(waiting)] == [cast.other_section, cast.section]
    assert [each.pot for each in of_section(waiting, cast.section.pk)] == ours
    assert all(each.late for each in waiting_for(slot, DUE + timedelta(days=1)))


def test_no_more_are_tried_than_could_stand_on_the_shelves(cast: School) -> None:
    kiln = a_kiln(cast.technician, shelf_width_mm=200, shelf_depth_mm=200, shelves=1)
    slot = a_slot(cast.technician, kiln=kiln)
    many_dry(cast, 6, sizes=((150, 150, 100),))
    waiting = waiting_for(slot, TODAY)
    assert may_fill(slot, waiting) == waiting[:4]


def test_glazes_that_ripen_elsewhere_or_never_together_keep_a_pot_out(cast: School) -> None:
    a_kiln(cast.technician)
    programs = Program.objects.filter(studio=cast.studio, firing="glaze")
    slot = a_slot(cast.technician, program=next(p for p in programs if "cone 6" in p.name))
    hot = a_glaze(cast)
    pot, other = glazed(a_pot(cast, "One"), cast, hot), glazed(a_pot(cast, "Two"), cast, hot)
    assert codes(slot) == sorted([pot.code, other.code])
    assert keeps_out(slot, [pot]) == {}
    hot.cone_to = "04"
    hot.save()
    assert keeps_out(slot, [pot]) == {pot.pk: f"The glazes on {pot.code} don't ripen at one cone."}
    assert codes(slot) == []
    hot.cone_to = "6"
    hot.save()
    Program.objects.filter(pk=slot.program_id).update(
        segments=[{"rate_c_per_h": 100, "target_c": 300, "hold_min": 0}]
    )
    slot = Slot.objects.select_related("program", "studio").get(pk=slot.pk)
    (reason,) = keeps_out(slot, [pot]).values()
    assert reason.endswith("reaches no cone of the table, so no glaze ripens in it.")
