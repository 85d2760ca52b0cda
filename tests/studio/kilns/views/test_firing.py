"""At the kiln with a phone: the log, the shut-off, unloading."""

from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.utils import timezone

from assessments.selectors.evidence import evidence_of
from assessments.selectors.marks import loaded as with_pieces
from planning.models import Piece
from studio.kilns.models import LogEntry, Slot
from studio.kilns.views.firing import read_at
from studio.ware.models import Flaw, Loss
from tests.cast import School, signed_in
from tests.studio.kilns.loading import again
from tests.studio.kilns.services.test_firing import EVENING, lit, loaded, off
from tests.studio.kilns.views.test_loads import post

pytestmark = pytest.mark.django_db
AMSTERDAM = ZoneInfo("Europe/Amsterdam")


@pytest.mark.parametrize(
    ("clock", "now", "found"),
    [
        (None, datetime(2026, 3, 20, 8, 0, tzinfo=UTC), datetime(2026, 3, 20, 8, 0, tzinfo=UTC)),
        (time(8), datetime(2026, 3, 20, 8, 0, tzinfo=UTC), datetime(2026, 3, 20, 7, 0, tzinfo=UTC)),
        # Later than now on the wall: it was yesterday evening.
        (time(23), datetime(2026, 3, 20, 6, 0, tzinfo=UTC), datetime(2026, 3, 19, 22, tzinfo=UTC)),
        # The clocks leap over 2:30 that night (EU summer time, 29 March 2026).
        (
            time(2, 30),
            datetime(2026, 3, 29, 9, 0, tzinfo=UTC),
            datetime(2026, 3, 28, 1, 30, tzinfo=UTC),
        ),
    ],
)
def test_a_time_of_day_is_the_last_moment_that_the_clock_showed_it(
    clock: time | None, now: datetime, found: datetime
) -> None:
    assert read_at(clock, now, AMSTERDAM) == found


def test_a_reading_goes_into_the_log_once(cast: School) -> None:
    slot, _pots = lit(cast, 2)
    client = signed_in(cast.teacher)
    said = post(client, "firing_log", slot, temp_c="498", note="vent on", once="key")
    assert "It is in the log." in said
    assert "498 °C" in said
    post(client, "firing_log", slot, temp_c="498", note="vent on", once="key")
    entry = LogEntry.objects.get()
    assert (entry.temp_c, entry.note, entry.by) == (498, "vent on", cast.teacher)


def test_what_cannot_be_read_is_said_at_its_field(cast: School) -> None:
    slot, _pots = lit(cast, 2)
    client = signed_in(cast.teacher)
    assert "This is not a number" in post(client, "firing_log", slot, temp_c="hot")
    assert "Type the temperature, or a remark." in post(client, "firing_log", slot, temp_c="")
    assert "less than or equal to 1500" in post(client, "firing_log", slot, temp_c="9000")
    assert not LogEntry.objects.exists()


def test_an_unlit_kiln_has_no_log_to_write(cast: School) -> None:
    slot, _pots = loaded(cast, 2)
    client = signed_in(cast.teacher)
    assert "Say first that it is" in post(client, "firing_log", slot, temp_c="20")
    assert "Say first that it is" in post(client, "firing_off", slot, seen_off="on")


def test_the_shut_off_names_who_saw_it_and_can_be_taken_back(cast: School) -> None:
    slot, _pots = lit(cast, 2)
    client = signed_in(cast.teacher)
    assert "One thing needs another look" in post(client, "firing_off", slot)
    said = post(client, "firing_off", slot, seen_off="on", witness_cone="06 down")
    assert "Tomas Lindqvist has seen that it is off" in said
    assert "Witness cone: 06 down." in said
    assert "Never open it hot" in said
    assert "Taken back." in post(client, "firing_off_undo", slot)


def test_unloading_moves_the_pots_on_and_keeps_what_was_found(cast: School) -> None:
    slot, pots = off(cast, 5)
    client = signed_in(cast.technician)
    kinds = ("ok", "flaw", "broken", "broken_kiln", "broken_making")
    values: dict[str, str] = {"read_below": "on", "witness_cone": "06 down, 05 half"}
    for pot, kind in zip(pots, kinds, strict=True):
        values |= {f"kind_{pot.pk}": kind, f"words_{pot.pk}": "" if kind == "ok" else "at the rim"}
    assert "It is unloaded." in post(client, "firing_unload", slot, **values)
    stages = [(pot.stage, pot.lost) for pot in again(pots)]
    assert stages == [
        ("bisque_fired", ""),
        ("bisque_fired", ""),
        ("bone_dry", "broken"),
        ("bone_dry", "broken"),
        ("bone_dry", "broken"),
    ]
    assert Flaw.objects.get().what == "at the rim"
    assert sorted(Loss.objects.values_list("cause", flat=True)) == ["kiln", "making", "unknown"]
    assert Slot.objects.get(pk=slot.pk).witness_cone == "06 down, 05 half"
    assert "Its pots have moved on" in post(client, "firing_unload", slot)


def test_unloading_asks_again_at_the_pot_and_for_the_reading(cast: School) -> None:
    slot, pots = off(cast, 2)
    client = signed_in(cast.technician)
    values = {f"kind_{pot.pk}": "flaw" for pot in pots}
    said = post(client, "firing_unload", slot, **values)
    assert "The kiln was read below its unloading temperature before it was opened.: This" in said
    said = post(client, "firing_unload", slot, read_below="on", **values)
    assert f"Write what is wrong with {pots[0].code}" in said
    assert {pot.stage for pot in again(pots)} == {"bone_dry"}


def test_a_kiln_that_is_not_off_is_not_unloaded(cast: School) -> None:
    slot, pots = lit(cast, 2)
    values = {f"kind_{pot.pk}": "ok" for pot in pots} | {"read_below": "on"}
    said = post(signed_in(cast.technician), "firing_unload", slot, **values)
    assert "Nobody has confirmed yet that this kiln is off" in said


def test_an_early_unloading_is_warned_about(cast: School) -> None:
    slot, _pots = off(cast, 2)
    Slot.objects.filter(pk=slot.pk).update(unload_at=timezone.now() + timedelta(hours=5))
    client = signed_in(cast.technician)
    html = client.get(f"/kilns/slots/{slot.pk}/unload/").content.decode()
    assert "By its program it is not so cool before" in html


def test_what_came_of_it_stands_on_the_load_and_flows_to_ware_and_evidence(cast: School) -> None:
    """Only what comes from making stands beside joints; the kiln's and an accident's do not."""
    slot, pots = off(cast, 5)
    client = signed_in(cast.technician)
    kinds = ("ok", "flaw_making", "broken_making", "broken_kiln", "broken_accident")
    values: dict[str, str] = {"read_below": "on", "witness_cone": "06 down, 05 half"}
    for pot, kind in zip(pots, kinds, strict=True):
        values |= {f"kind_{pot.pk}": kind, f"words_{pot.pk}": "" if kind == "ok" else "at a joint"}
    said = post(client, "firing_unload", slot, **values)
    for sentence in (
        "By the table the program reaches cone 06. The witness cones say: 06 down, 05 half.",
        "1 pot came out whole. 1 has a flaw and goes on.",
        "3 broke. Causes: making 1, kiln 1, accident 1.",
    ):
        assert sentence in said
    pieces = list(with_pieces(Piece.objects.filter(pots__in=pots)))
    evidence = evidence_of(pieces)
    beside_joints = {
        pot.code: " ".join(evidence[pot.piece_id].beside("joints").sentences) for pot in pots
    }
    assert "flaw from making" in beside_joints[pots[1].code]
    assert [("cause: making" in beside_joints[pot.code]) for pot in pots] == [
        False,
        False,
        True,
        False,
        False,
    ]


def test_the_log_says_where_the_program_should_be(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By hand: 50 °C/h from 20 °C is 70 °C after an hour, then 85 °C for six hours."""
    slot, _pots = lit(cast, 2)
    client, address = signed_in(cast.teacher), f"/kilns/slots/{slot.pk}/log/"
    for hours, said in ((1, "about 70"), (5, "about 85")):
        at = EVENING + timedelta(hours=hours)
        monkeypatch.setattr(timezone, "now", lambda at=at: at)
        assert f"By its program the kiln is at {said}" in client.get(address).content.decode()
    monkeypatch.setattr(timezone, "now", lambda: EVENING + timedelta(hours=30))
    assert "By its program" not in client.get(address).content.decode()
