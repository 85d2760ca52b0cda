"""What goes into one load together, and what is put right when loads take less than was reckoned.

Pots are squares on a shelf or round ones of a class's sizes; the judge is `tiny.wrong`.
"""

from dataclasses import replace

import pytest

from studio.kilns.packing.inputs import Piece
from studio.kilns.weeks import groups, loads, model, table
from studio.kilns.weeks import plan as planning
from studio.kilns.weeks.inputs import Pot, Week
from studio.kilns.weeks.inside import Inside
from studio.kilns.weeks.loads import Packer
from studio.kilns.weeks.plan import plan_week
from studio.kilns.weeks.trials import WHOLE, Fill, Learned
from studio.kilns.weeks.units import Unit
from tests.study.weeks import LARGE, slots

from .tiny import at, kiln, pot, start, week, wrong

A = kiln("a", 2)


def packer(*units: tuple[Pot, ...]) -> Packer:
    inside = {"a": Inside(A)}
    made = [Unit(each, (0,)) for each in units]
    return Packer([start("S0", "a", 0)], [[]], inside, made, lambda _packed: None)


def test_what_must_go_displaces_the_least_urgent() -> None:
    found = packer((pot("P0"),), (pot("P1"),), (pot("P2", must_go=True),)).packed(0, [0, 1, 2])
    assert (found.stood, found.left) == ((0, 2), (1,))


def test_of_pots_that_stay_together_none_stands_alone() -> None:
    found = packer((pot("P0"),), (pot("P1"), pot("P2"))).packed(0, [0, 1])
    names = [each.id for layer in found.layers for each in layer.placements]
    assert (found.stood, found.left, names) == ((0,), (1,), ["P0"])


def test_the_same_load_is_not_packed_twice() -> None:
    found = packer((pot("P0"),))
    assert found.packed(0, [0]) is found.packed(0, [0])
    assert found.packs == 1


@pytest.fixture
def reckoned_too_full(monkeypatch: pytest.MonkeyPatch) -> None:
    """As if trial loads had filled kilns to the last corner."""
    monkeypatch.setattr(
        "studio.kilns.weeks.table.learned", lambda _inside, _pieces: Learned(WHOLE, WHOLE)
    )


def round_pots(count: int, wide: float) -> Week:
    """Circles of a diameter of which a shelf 300 mm square holds fewer than its area says."""
    shelf = replace(A.furniture, shelf=replace(A.furniture.shelf, width_mm=300, depth_mm=300))
    each = [
        Pot(Piece(f"P{n}", wide, wide, 100), frozenset({"bisque"}), at(0)) for n in range(count)
    ]
    return week([replace(A, furniture=shelf)], [start(f"S{n}", "a", n) for n in range(5)], each)


@pytest.mark.usefixtures("reckoned_too_full")
@pytest.mark.parametrize("rounds", [1, 6])
@pytest.mark.parametrize("few", [0, 60])
def test_firings_that_were_asked_too_much_of_are_asked_less(
    monkeypatch: pytest.MonkeyPatch, few: int, rounds: int
) -> None:
    # Four circles of 140 mm with 10 mm between them stand on 300 mm, whatever else one tries;
    # by area there would be room for five (n unit circles in the smallest square, standards
    # of packing: four need a side of 4 radii, five one of 4.828).
    monkeypatch.setattr(table, "FEW", few)
    monkeypatch.setattr(planning, "ROUNDS", rounds)
    monkeypatch.setattr(planning, "FEWEST_ROUNDS", rounds)
    asked = round_pots(10, 140)
    answer = plan_week(asked)
    assert not wrong(asked, answer)
    assert (answer.score.left_out, answer.score.firings) == (0, 3)
    assert answer.area_height.firings == 2


def test_a_week_of_a_small_class_is_sound_and_planned_the_same_way_again() -> None:
    asked = slots(10, 3, (LARGE,), days=2)
    told: list[int] = []
    answer = plan_week(asked, each_load=told.append)
    assert not wrong(asked, answer)
    assert answer.score[:5] == tuple(vars(answer.area_height).values())
    assert told
    assert plan_week(asked) == answer


@pytest.mark.usefixtures("reckoned_too_full")
def test_a_firing_of_another_program_isn_t_asked_less(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(table, "FEW", 0)
    asked = round_pots(10, 140)
    glazed = replace(asked.pots[0], piece=replace(asked.pots[0].piece, id="G"))
    glazed = replace(glazed, programs=frozenset({"cone 6"}))
    starts = (*asked.starts, start("G6", "a", 6, "cone 6"))
    asked = replace(asked, starts=starts, pots=(*asked.pots, glazed))
    answer = plan_week(asked)
    assert not wrong(asked, answer)
    assert (answer.score.left_out, answer.score.firings) == (0, 4)


def test_an_earlier_plan_stays_where_trial_loads_promise_no_fewer_firings(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # A share of 0.18 of the shelf each: four of them, as stand on it.
    fill = Fill(0.76, 0.76)
    monkeypatch.setattr(
        "studio.kilns.weeks.table.learned", lambda _inside, _pieces: Learned(fill, fill)
    )
    asked = round_pots(10, 140)
    before = {each.id: f"S{n // 4}" for n, each in enumerate(asked.pots)} | {"P9": "gone"}
    answer = plan_week(asked, before)
    assert not wrong(asked, answer)
    assert answer.score.firings == answer.calibrated.firings == answer.usual.firings == 3
    assert answer.area_height.firings == 2
    assert {name: answer.pots[name] for name in before if name != "P9"} == {
        name: at for name, at in before.items() if name != "P9"
    }


def a_large_week(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every week is planned as the largest are."""
    monkeypatch.setattr(table, "FEW", 0)
    monkeypatch.setattr(groups, "MOST_FLOWS", 0)
    monkeypatch.setattr(model, "LARGE_FLOWS", 0)
    monkeypatch.setattr(model, "LIT_WHOLE", 0)
    monkeypatch.setattr(planning, "SOLVED_FLOWS", 0)


@pytest.mark.usefixtures("reckoned_too_full")
def test_the_means_by_which_large_weeks_are_planned_soon_plan_a_small_one_as_well(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked = round_pots(10, 140)
    usual = plan_week(asked)
    a_large_week(monkeypatch)
    answer = plan_week(asked)
    assert not wrong(asked, answer)
    assert answer.score[:5] == usual.score[:5]
    assert answer.area_height.firings <= usual.area_height.firings


@pytest.mark.usefixtures("reckoned_too_full")
def test_when_enough_loads_were_packed_what_is_found_by_then_is_sound(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(loads, "MOST_PACKS", 1)
    asked = round_pots(10, 140)
    answer = plan_week(asked)
    assert not wrong(asked, answer)
    assert len(answer.left_out) == 2  # of firings that were asked for five
    assert {each.why for each in answer.left_out} == {"not_tried"}
