"""Two people at the same pot at the same moment: one acts, the other reads a sentence."""

import threading
from collections.abc import Callable

import pytest
from django.db import connection

from studio.errors import Refused
from studio.ware.models import GreenwareCheck, Loss, Pot, StageEntry
from studio.ware.services import begin_pot, cover, find_pot, lose_pots
from tests.cast import NOW, School
from tests.studio.ware.pots import a_pot, again, check, move

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.both_databases]


def at_once(*acts: Callable[[], object]) -> list[str]:
    """What each of them reads; empty for who succeeded. Other errors fail the test."""
    start = threading.Barrier(len(acts))
    said: list[str] = []

    def run(act: Callable[[], object]) -> None:
        try:
            start.wait()
            act()
            said.append("")
        except Refused as refusal:
            said.append(str(refusal))
        except Exception as other:  # noqa: BLE001 -- shown by the assertion
            said.append(f"failed: {other!r}")
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=(act,)) for act in acts]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    return sorted(said)


def test_a_pot_is_lost_once(cast: School) -> None:
    pot = a_pot(cast)
    said = at_once(
        *(
            lambda by=by: lose_pots(pots=[pot], kind="broken", by=by, at=NOW)
            for by in (cast.teacher, cast.head, cast.technician)
        )
    )
    assert said == ["", *[f"{pot.code} is broken already."] * 2]
    assert Loss.objects.count() == 1


def test_either_the_lost_pot_is_found_or_another_begins(cast: School) -> None:
    pot = a_pot(cast)
    lose_pots(pots=[pot], kind="missing", by=cast.teacher, at=NOW)
    said = at_once(
        lambda: find_pot(pot=pot, by=cast.teacher, at=NOW),
        lambda: begin_pot(piece=pot.piece, by=cast.head, at=NOW),
    )
    begun = "The pot of this piece is begun already."
    assert said[0] == ""
    assert said[1] == begun or said[1].startswith(f"{pot.code}/2 was begun in its stead.")
    assert Pot.objects.standing().filter(piece=pot.piece).count() == 1


def test_one_other_pot_begins(cast: School) -> None:
    pot = a_pot(cast)
    lose_pots(pots=[pot], kind="broken", by=cast.teacher, at=NOW)
    said = at_once(
        *[lambda: begin_pot(piece=pot.piece, by=cast.teacher, at=NOW) for _each in range(3)]
    )
    assert said == ["", *["The pot of this piece is begun already."] * 2]
    assert [each.number for each in Pot.objects.filter(piece=pot.piece).order_by("number")] == [
        1,
        2,
    ]


def test_a_pot_comes_to_a_stage_once(cast: School) -> None:
    pot = a_pot(cast)
    said = at_once(
        *[lambda: move(pot, "leather_hard", cast.teacher) for _each in range(3)],
        lambda: cover(pots=[pot], by=cast.student, at=NOW),
    )
    assert said == [""] * 4
    assert StageEntry.objects.filter(pot=pot, stage="leather_hard").count() == 1
    assert (again(pot).stage, again(pot).covered_since) == ("leather_hard", NOW)


def test_a_pot_is_checked_once(cast: School) -> None:
    pot = a_pot(cast)
    said = at_once(lambda: check(pot, cast.teacher), lambda: check(pot, cast.head))
    assert said[0] == ""
    assert f"checked {pot.code} already" in said[1]
    assert GreenwareCheck.objects.count() == 1
