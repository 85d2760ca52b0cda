"""So many at once, for each and for all; who is done gives the slot back."""

from contextlib import ExitStack

import pytest

from studio.web.slots import Full, Slots


def test_one_person_can_not_take_every_slot() -> None:
    slots = Slots(each=2, together=3)
    with ExitStack() as held:
        held.enter_context(slots.taken_by("ode"))
        held.enter_context(slots.taken_by("ode"))
        with pytest.raises(Full, match="Try again in a moment"), slots.taken_by("ode"):
            pass
        held.enter_context(slots.taken_by("bram"))
        with pytest.raises(Full), slots.taken_by("sunniva"):
            pass
    with slots.taken_by("sunniva"):
        pass


def test_a_slot_comes_back_after_a_mishap_and_nobody_is_remembered() -> None:
    slots = Slots(each=1, together=1)
    for _turn in range(3):
        with pytest.raises(ZeroDivisionError), slots.taken_by("ode"):
            raise ZeroDivisionError
    assert not slots._taken
