"""What people decide by hand holds; a pot that is left out is told why and what would fit it."""

from dataclasses import replace

import pytest

from studio.kilns.packing.inputs import Layer, Placement
from studio.kilns.weeks.answer import Answer
from studio.kilns.weeks.inputs import Pot, Week
from studio.kilns.weeks.plan import plan_week
from studio.kilns.weeks.reasons import WHY

from .tiny import at, kiln, piece, pot, start, week, wrong

A = kiln("a", 2)
THREE = [start("S0", "a", 0), start("S1", "a", 1), start("S2", "a", 2)]


def planned(asked: Week) -> Answer:
    answer = plan_week(asked)
    assert not wrong(asked, answer)
    return answer


def why(answer: Answer) -> dict[str, str]:
    return {each.id: each.why for each in answer.left_out}


def test_pots_that_stay_together_go_in_one_firing_even_if_it_takes_one_more() -> None:
    pots = [pot("P0"), pot("P1", together="pair"), pot("P2", together="pair"), pot("P3")]
    pots[0] = replace(pots[0], due=at(1))
    pots[3] = replace(pots[3], due=at(4), ready=at(2))
    answer = planned(week([A], THREE, pots))
    assert answer.pots["P1"] == answer.pots["P2"]
    assert answer.score[:5] == (0, 0, 0, 0, 3)


def test_what_must_go_goes_before_what_would_be_late() -> None:
    pots = [pot("P0", due=1), pot("P1", due=1), pot("P2", must_go=True)]
    answer = planned(week([A], THREE[:1], pots))
    assert "P2" in answer.pots
    assert answer.score[:4] == (0, 1, 0, 1)
    assert set(why(answer).values()) == {"no_room"}


def test_a_tall_pot_that_must_go_displaces_the_low_ones_above_and_below_it() -> None:
    deep = replace(A, furniture=replace(A.furniture, usable_height_mm=300, posts_mm=(120.0,)))
    deep = replace(deep, stock=replace(deep.stock, shelves=2, posts=((120.0, 1),)))
    tall = Pot(piece("tall", 220), frozenset({"bisque"}), at(0), must_go=True)
    pots = [*(pot(f"P{n}", due=1) for n in range(4)), tall]
    answer = planned(week([deep], THREE[:1], pots))
    assert set(answer.pots) == {"tall", next(iter(set(answer.pots) - {"tall"}))}
    assert answer.score[:2] == (0, 3)


def test_what_stands_in_a_load_stays_and_its_firing_is_lit() -> None:
    stood = (Layer(None, (Placement("P0", -55, 0),)),)
    kept = replace(THREE[2], kept=True, layers=stood)
    answer = planned(week([A], [*THREE[:2], kept], [pot("P0"), pot("P1"), pot("P2", ready=2)]))
    assert answer.pots["P0"] == "S2"
    assert answer.firings[-1].layers[0].placements[0] == stood[0].placements[0]
    assert answer.score.firings == 2


def test_a_pinned_pot_waits_for_its_firing() -> None:
    answer = planned(week([A], THREE, [pot("P0"), pot("P1", pinned="S1"), pot("P2", ready=2)]))
    assert answer.pots["P1"] == "S1"
    assert planned(week([A], THREE, [pot("P0", pinned="gone")])).left_out[0].why == (
        "pinned_elsewhere"
    )


def test_bisque_goes_with_the_pot_that_it_stands_in_and_takes_no_room() -> None:
    pots = [pot("P0"), pot("P1"), pot("in", nested_in="P0")]
    answer = planned(week([A], THREE[:1], pots))
    assert set(answer.pots) == {"P0", "P1", "in"}
    glazed = [pot("P0", "cone 6"), pot("in", "cone 6", nested_in="P0")]
    asked = week([A], [start("S0", "a", 0, "cone 6")], glazed)
    assert why(planned(asked)) == {"P0": "nested_glaze", "in": "nested_glaze"}
    assert why(planned(week([A], THREE, [pot("in", nested_in="gone")]))) == {"in": "carrier_gone"}
    ring = [pot("P0", nested_in="P1"), pot("P1", nested_in="P0")]
    assert set(why(planned(week([A], THREE, ring))).values()) == {"carrier_gone"}


def test_a_firing_that_is_lit_holds_its_kiln_and_takes_nothing() -> None:
    lit = replace(THREE[0], kept=True, closed=True)
    clash = start("other", "a", 0.2)
    answer = planned(week([A], [lit, clash], [pot("P0")]))
    assert why(answer) == {"P0": "kiln_taken"}
    assert answer.left_out[0].starts == ("other",)


def test_an_earlier_plan_that_is_as_good_stays() -> None:
    asked = week([A], THREE, [pot("P0"), pot("P1")])
    for name in ("S0", "S1", "S2"):
        kept = plan_week(asked, before={"P0": name, "P1": name, "gone": "S9"})
        assert set(kept.pots.values()) == {name}
    worse = plan_week(asked, before={"P0": "S0", "P1": "S1"})
    assert worse.score.firings == 1


def test_two_kept_firings_that_are_in_each_others_way_stay_as_they_are() -> None:
    both = [replace(each, kept=True) for each in (THREE[0], start("S9", "a", 0.1))]
    answer = plan_week(week([A], [*both, start("S8", "a", 0.2)], [pot(f"P{n}") for n in range(5)]))
    assert [each.start.id for each in answer.firings] == ["S0", "S9"]
    assert len(answer.pots) == 4


WIDE, TALL = (replace(piece("P0"), front_mm=300.0), piece("P0", 140))
CASES = [
    ("not_now", pot("P0", not_now=True), None),
    ("no_program", pot("P0", "cone 6"), start("more", "a", 3, "cone 6")),
    ("not_ready", pot("P0", ready=2.5), start("more", "a", 3)),
    ("no_kiln", replace(pot("P0"), piece=WIDE), None),
    ("no_kiln", replace(pot("P0"), piece=TALL), None),
]


@pytest.mark.parametrize(("reason", "left", "more"), CASES)
def test_a_pot_left_out_is_told_why_and_a_start_as_is_told_takes_it(
    reason: str, left: Pot, more: object
) -> None:
    asked = week([A], THREE, [left])
    (told,) = planned(asked).left_out
    assert told.why == reason
    assert reason in WHY
    if more is not None:
        assert more.kiln in told.kilns  # type: ignore[attr-defined]
        assert more.program in told.programs  # type: ignore[attr-defined]
        assert planned(replace(asked, starts=(*asked.starts, more))).pots == {"P0": "more"}  # type: ignore[arg-type]


def test_pots_of_two_programs_can_not_stay_together() -> None:
    pots = [pot("P0", together="x"), pot("P1", "cone 6", together="x")]
    assert set(why(planned(week([A], THREE, pots))).values()) == {"never_together"}


def test_a_pot_too_large_for_the_kilns_of_its_program_is_told_the_kiln_that_takes_it() -> None:
    wide = Pot(replace(piece("P0"), front_mm=200.0), frozenset({"bisque"}), at(0))
    small = kiln("small", 1)
    asked = week([A, small], [start("S0", "small", 0)], [wide])
    (told,) = planned(asked).left_out
    assert (told.why, told.kilns, told.programs) == ("no_kiln_of_program", ("a",), ("bisque",))
    more = replace(asked, starts=(*asked.starts, start("more", "a", 1)))
    assert planned(more).pots == {"P0": "more"}


def test_pots_that_stay_together_and_fit_no_kiln_at_once_are_left_out_together() -> None:
    pots = [pot(f"P{n}", together="x") for n in range(3)]
    assert set(why(planned(week([A], THREE, pots))).values()) == {"too_many_together"}


def test_a_week_without_pots_or_starts_is_planned_too() -> None:
    assert planned(week([A], [], [])).score == (0, 0, 0, 0, 0, 0.0)
    assert why(planned(week([A], [], [pot("P0")]))) == {"P0": "no_program"}
    kept = replace(THREE[0], kept=True)
    assert planned(week([A], [kept], [])).score.firings == 1


def test_of_more_pots_than_there_is_room_for_the_urgent_go_and_each_other_one_is_named() -> None:
    pots = [pot(f"P{n}") for n in range(5)]
    pots += [pot("due", due=3), pot("must", must_go=True), pot("glaze", "cone 6", due=3)]
    starts = [*THREE[:2], start("G", "a", 2, "cone 6")]
    answer = planned(week([A], starts, pots))
    assert {"due", "must", "glaze"} <= set(answer.pots)
    assert len(answer.pots) == 5
    assert answer.score[:5] == (0, 0, 0, 3, 3)
    assert answer.area_height.left_out == 3
    assert {(e.why, e.kilns, e.programs) for e in answer.left_out} == {
        ("no_room", ("a",), ("bisque",))
    }
