"""A drying pot on the scale, and how long pots have dried, as people see it."""

from datetime import timedelta

import pytest
from django.utils import timezone

from studio.ware.models import Weighing
from studio.ware.services import check_dryness, weigh_drying
from tests.cast import School, signed_in
from tests.studio.clay.test_pages import filled, main_of
from tests.studio.ware.pots import a_pot, check, move

pytestmark = pytest.mark.both_databases


def test_two_weights_a_day_apart_say_air_dry_still_candle(cast: School) -> None:
    now = timezone.now()
    pot, client = a_pot(cast), signed_in(cast.teacher)
    check(pot, cast.teacher, at=now - timedelta(days=4))
    move(pot, "leather_hard", cast.teacher, at=now - timedelta(days=3))
    page = f"/pots/{pot.pk}/weigh/"
    said = main_of(client.get(page))
    assert "1.4 cm at its thickest" in said
    assert "4 days rule of thumb: 14 to 28" in said
    coarse = main_of(client.post(page, filled(client, page, grams="1.7", step_g="5")))
    assert "A scale in steps of 5 g can't tell for a pot of 1.70 kg" in coarse
    at = now - timedelta(hours=25)
    weigh_drying(pot=pot, grams=1700, step_g=1, by=cast.teacher, at=at)
    assert "One weight so far." in main_of(client.get(page))
    sent = filled(client, page, grams="1.699", step_g="1")
    said = main_of(client.post(page, sent, follow=True))
    assert "Air dry, still candle." in said
    assert "safe" not in said.replace("safety sheet", "")
    # The second tap.
    client.post(page, sent)
    assert Weighing.objects.count() == 2
    assert "4 days rule of thumb: 14 to 28" in main_of(client.get(f"/pots/{pot.pk}/"))


def test_the_dryness_page_names_the_thickest_and_how_long_such_pots_took(cast: School) -> None:
    now = timezone.now()
    before = now - timedelta(days=60)
    for n in range(5):
        pot = a_pot(cast, f"Earlier {n}")
        check(pot, cast.teacher, at=before, thickest_mm=15)
        move(pot, "leather_hard", cast.teacher, at=before)
        days = timedelta(days=8 + n)
        check_dryness(pots=[pot], air_dry=True, by=cast.teacher, at=before + days)
    pot = a_pot(cast)
    check(pot, cast.teacher, at=now - timedelta(days=10), thickest_mm=13)
    move(pot, "leather_hard", cast.teacher, at=now - timedelta(days=9))
    said = main_of(signed_in(cast.teacher).get("/dryness/"))
    assert "1.3 cm at the thickest 10 days here about 10 (9 to 11; 5 pots), worth feeling" in said
    assert f"a thousandth of the pot: {pot.code}" in said
