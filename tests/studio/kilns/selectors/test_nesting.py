"""What nesting means to cautions, to a week's plan and to the print on the wall."""

from datetime import date
from typing import Any

import pytest
import shapely

from planning.models import Piece
from studio.jobs.work import claimed
from studio.kilns.models import Placement, Slot
from studio.kilns.selectors.loads import contents
from studio.kilns.selectors.maps import guest_outlines, pot_outline
from studio.kilns.selectors.nesting import nest_cautions
from studio.kilns.selectors.schedule import week_print
from studio.kilns.selectors.week_asked import ByHand, week_to_plan
from studio.kilns.selectors.week_plans import shown_plan
from studio.kilns.services.week_plans import ask_for_week_plan, plan_the_week
from studio.kilns.sheets.schedule import schedule_pdf
from studio.paper.pages import A4, LETTER, Page
from studio.ware.models import GreenwareCheck, Pot
from tests.cast import NOW, TODAY, School
from tests.studio.kilns.loading import again, many_dry
from tests.studio.kilns.nesting import BOWL, CUP, a_load, nest
from tests.studio.paper.measuring import Print

pytestmark = pytest.mark.django_db
WEEK = date(2026, 3, 16)


def thick(pot: Pot, mm: float) -> None:
    GreenwareCheck.objects.filter(pot=pot).update(thickest_mm=mm)


def test_walls_that_differ_much_in_thickness_are_named_once_they_stand_together(
    cast: School,
) -> None:
    """From half as thick again on: the thin one is hot while the thick one is still damp (common
    practice, no source).
    """
    slot, (bowl, cup) = a_load(cast, BOWL, CUP)
    thick(bowl, 8)
    thick(cup, 13)
    assert nest_cautions(contents(slot)) == []
    nest(cast, slot, cup, bowl, 120)
    general, uneven = nest_cautions(contents(slot))
    assert "only bone-dry ones of about the same thickness, nothing heavy on a thin rim" in general
    assert uneven.startswith(f"{cup.code} and {bowl.code} differ much in thickness")
    thick(cup, 12)
    assert nest_cautions(contents(slot)) == [general]


def test_several_in_one_pot_are_drawn_beside_each_other_within_it(cast: School) -> None:
    """Two of 60 mm in a bowl of 200 have room side by side; shapely measures."""
    slot, (bowl, *cups) = a_load(cast, BOWL, (60, 60, 70), (60, 60, 70))
    Placement.objects.filter(pot=bowl).update(turn_deg=30)
    for cup in cups:
        nest(cast, slot, cup, bowl, 120)
    load = contents(slot)
    [host] = [each for each in load.placements if each.pot_id == bowl.pk]
    outer = shapely.Polygon(pot_outline(host))
    one, two = map(shapely.Polygon, guest_outlines(load, host))
    assert not one.intersects(two)
    assert outer.buffer(0.1).covers(one.union(two))


def printed(cast: School, page: Page) -> str:
    def address(slot: Slot) -> str:
        return f"https://studio.example/kilns/slots/{slot.pk}/log/"

    week = week_print(cast.studio, WEEK, printed_on=TODAY, address=address)
    read = Print(schedule_pdf(week, page))
    words = " ".join(" ".join(read.text(n) for n in range(len(read.texts))).split())
    return words.replace("\xa0", " ")


@pytest.mark.parametrize("page", [A4, LETTER])
def test_on_the_wall_it_stands_in_what_each_pot_stands(page: Page, cast: School) -> None:
    """Whoever loads has only the paper: where, in what, how high, and what to mind.

    Codes of one width: with wider ones the page is too short for names, and leaves them out.
    """
    slot, pots = a_load(cast, BOWL, CUP, (100, 100, 90))
    for pot, code in zip(pots, ("T4-7K", "E3-9A", "Y7-4H"), strict=True):
        Piece.objects.filter(pk=pot.piece_id).update(code=code)
    bowl, cup, other = again(pots)
    before = printed(cast, page)
    nest(cast, slot, cup, bowl, 125)
    said = printed(cast, page)
    assert f"In or on {bowl.code}: {cup.code}, together 125 mm high" in said
    assert f"{cup.code} Pupil01 O., in or on {bowl.code}" in said
    assert "Pots in or on others: bone dry, about as thick, nothing heavy on a thin rim" in said
    assert "In or on" not in before
    assert "Pots in or on others" not in before
    assert all(pot.code in said for pot in (bowl, cup, other))


def test_a_week_is_planned_around_them_as_one_and_counts_both(cast: School) -> None:
    slot, (bowl, cup) = a_load(cast, BOWL, CUP)
    nest(cast, slot, cup, bowl, 200)
    more = many_dry(cast, 2, sizes=((90, 90, 80),), title="More of them")
    week = week_to_plan(cast.studio, WEEK, NOW, ByHand())
    assert {each.id for each in week.pots} == {str(pot.pk) for pot in (bowl, *more)}
    assert next(each.piece for each in week.pots if each.id == str(bowl.pk)).height_mm == 200
    job = ask_for_week_plan(
        studio=cast.studio, monday=WEEK, by_hand=ByHand(), by=cast.technician, at=NOW
    )
    if work := claimed(job_id=str(job.pk)):
        plan_the_week(work)
    job.refresh_from_db()
    firing: dict[str, Any]
    (firing,) = job.result["firings"]
    assert set(firing["pots"]) == {str(pot.pk) for pot in (bowl, cup, *more)}
    assert set(firing["new"]) == {str(pot.pk) for pot in more}
    assert job.result["left_out"] == []
    shown = shown_plan(cast.studio, WEEK, [slot], {})
    assert shown is not None
    assert [len(each.pots) for each in shown.firings] == [4]
