"""The cover list's words."""

from datetime import date, timedelta

from studio.board.selectors.covers import cover_paper, stay_damp
from studio.people.models import User
from studio.ware.selectors import CoverList
from studio.ware.services import cover, put_in_place
from tests.cast import NOW, TODAY, School
from tests.studio.ware.pots import a_place, a_pot, check


def test_it_says_how_many_and_for_how_long(cast: School) -> None:
    pot = a_pot(cast)

    def said(pots: int, days: int | None) -> str:
        coming = TODAY + timedelta(days=days) if days else None
        return stay_damp(CoverList(cast.section, [pot] * pots, coming, days), TODAY)

    assert said(14, 6) == "These 14 stay damp: next lesson Tuesday, in 6 days."
    assert said(2, 1) == "These 2 stay damp: next lesson tomorrow, in 1 day."
    assert said(1, 12) == "This one stays damp: next lesson Monday 23 March, in 12 days."
    assert said(3, None) == "These 3 stay damp: no further lesson is in the calendar."
    assert said(1, None) == "This one stays damp: no further lesson is in the calendar."
    assert said(0, 6) == "No pot has to stay damp."


def test_each_pot_says_where_and_since_when_it_is_wrapped(cast: School) -> None:
    pot, other = a_pot(cast), a_pot(cast, "Of Bram", User.objects.get(pk=cast.classmate.pk))
    put_in_place(pots=[pot], place=a_place(cast, "Cart 2"), by=cast.teacher, at=NOW)
    cover(pots=[pot], by=cast.teacher, at=NOW - timedelta(days=5))
    paper = cover_paper(cast.section, today=TODAY)
    rows = {each.code: (each.name, each.place, each.wrapped, each.stage) for each in paper.pots}
    assert rows == {
        pot.code: ("Ode A.", "Cart 2", "Fri 6 March", "wet"),
        other.code: ("Bram V.", "not noted", "open now", "wet"),
    }
    assert paper.pots[0].shape[-1][0] == 200  # mm, the height of the plan
    assert paper.subtitle == "Period 3 · Wednesday 11 March 2026"
    assert paper.footer == "Brookfield School studio · printed Wednesday 11 March 2026"


def test_a_pot_whose_building_has_ended_dries_and_is_not_on_it(cast: School) -> None:
    check(a_pot(cast), cast.teacher)
    paper = cover_paper(cast.section, today=date(2026, 3, 11))
    assert paper.pots == []
    assert paper.title == "No pot has to stay damp."
