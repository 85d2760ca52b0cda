"""Which step follows which: common practice, no source."""

import pytest

from studio.ware.models import Stage
from studio.ware.stages import FORWARD, ORDER, Hindrance, hindrance, offered


def asked(before: str, after: str, **said: bool) -> Hindrance | None:
    given = {"staff": True, "checked": True, "reasoned": True} | said
    return hindrance(before, after, **given)


def test_the_words_are_those_of_the_table() -> None:
    assert list(ORDER) == Stage.values
    assert set(FORWARD) == set(ORDER)


def test_every_forward_step_leads_on_and_the_last_stage_is_the_end() -> None:
    for before, afters in FORWARD.items():
        assert all(ORDER.index(after) > ORDER.index(before) for after in afters)
    assert FORWARD["collected"] == ()


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("wet", "leather_hard"),
        ("leather_hard", "bone_dry"),
        ("bone_dry", "bisque_fired"),
        ("bisque_fired", "glazed"),
        ("bisque_fired", "on_display"),
        ("bisque_fired", "collected"),
        ("glazed", "glaze_fired"),
        ("glaze_fired", "on_display"),
        ("glaze_fired", "collected"),
        ("on_display", "collected"),
    ],
)
def test_staff_take_the_next_step(before: str, after: str) -> None:
    assert asked(before, after) is None


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("wet", "bone_dry"),
        ("leather_hard", "bisque_fired"),
        ("bone_dry", "glazed"),
        ("bone_dry", "collected"),
        ("glazed", "on_display"),
        ("glazed", "collected"),
    ],
)
def test_nothing_is_left_out(before: str, after: str) -> None:
    assert asked(before, after) is Hindrance.NOT_NEXT


@pytest.mark.parametrize("before", ORDER[1:])
def test_a_step_back_is_for_staff_with_a_reason(before: str) -> None:
    assert asked(before, "wet") is None
    assert asked(before, "wet", reasoned=False) is Hindrance.BACK_NEEDS_REASON
    assert asked(before, "wet", staff=False) is Hindrance.STAFF_ONLY


def test_a_student_comes_to_leather_hard_and_no_further() -> None:
    assert asked("wet", "leather_hard", staff=False, reasoned=False) is None
    for before, afters in FORWARD.items():
        for after in afters:
            if after != "leather_hard":
                assert asked(before, after, staff=False) is Hindrance.STAFF_ONLY


def test_nothing_dries_through_without_a_greenware_check() -> None:
    assert asked("leather_hard", "bone_dry", checked=False) is Hindrance.NEEDS_CHECK
    assert asked("bisque_fired", "bone_dry", checked=False) is None


@pytest.mark.parametrize(
    ("before", "after"), [("bone_dry", "bisque_fired"), ("glazed", "glaze_fired")]
)
def test_a_fired_stage_needs_a_reason(before: str, after: str) -> None:
    assert asked(before, after, reasoned=False) is Hindrance.FIRED_NEEDS_REASON


def test_only_steps_that_are_allowed_are_offered() -> None:
    assert offered("wet", staff=False, checked=False) == ("leather_hard",)
    assert offered("leather_hard", staff=False, checked=True) == ()
    assert offered("leather_hard", staff=True, checked=False) == ()
    assert offered("leather_hard", staff=True, checked=True) == ("bone_dry",)
    assert offered("bisque_fired", staff=True, checked=True) == FORWARD["bisque_fired"]
