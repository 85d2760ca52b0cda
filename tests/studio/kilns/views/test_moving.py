"""A pot is moved by figures and by hand, and the page says at once whether it fits."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from playwright.sync_api import expect

from studio.kilns.models import Placement, Slot
from studio.kilns.selectors.loads import contents
from studio.kilns.selectors.moving import Spot, spot_of
from studio.kilns.services.loads import place_pots, take_out
from studio.kilns.services.moving_pots import move_pot
from tests.browser import Windows
from tests.cast import NOW, School, signed_in
from tests.chromium import PHONE
from tests.studio.kilns.kiln_room import a_kiln, a_slot, text_of
from tests.studio.kilns.loading import many_dry

pytestmark = pytest.mark.django_db
KILN_MM = 520


def a_load(cast: School, count: int = 2) -> tuple[Slot, list[Placement]]:
    """Round pots of 100 mm on a round shelf, the first to the left and the second to the right."""
    slot = a_slot(cast.technician)
    pots = many_dry(cast, count, sizes=((100, 100, 90),))
    place_pots(slot=slot, pots=pots, by=cast.technician, at=NOW)
    rows = list(contents(slot).placements)
    for n, row in enumerate(rows[:2]):
        row.layer, row.x_mm, row.y_mm = 0, 200.0 * n - 100, 0.0
        row.save()
    return slot, rows


def fields(row: Placement, **changed: object) -> dict[str, object]:
    """As the page has them, in centimetres."""
    spot = spot_of(row)
    return {
        "layer": 0,
        "left_mm": f"{(row.x_mm + KILN_MM / 2) / 10:g}",
        "front_mm": f"{(row.y_mm + KILN_MM / 2) / 10:g}",
        "turn_deg": "0",
        "seen": f"{spot.layer} {spot.x_mm!r} {spot.y_mm!r} {spot.turn_deg!r}",
    } | changed


def test_figures_move_it_where_it_fits(cast: School) -> None:
    slot, (row, _other) = a_load(cast)
    client, address = signed_in(cast.teacher), reverse("load_move", args=[slot.pk, row.pot_id])
    page = text_of(client.get(address))
    assert "It fits there." in page
    answer = client.post(address, fields(row, left_mm="16", front_mm="40.5"), follow=True)
    assert f"{row.pot.code} stands there now and is pinned" in text_of(answer)
    row.refresh_from_db()
    assert spot_of(row) == Spot(0, -100.0, 145.0)


def test_where_it_does_not_fit_it_stays_and_every_reason_is_said(cast: School) -> None:
    slot, (row, other) = a_load(cast)
    client, address = signed_in(cast.teacher), reverse("load_move", args=[slot.pk, row.pot_id])
    for left, said in (
        ("33", "overlap by 7.0 cm."),
        ("50", f"{row.pot.code} stands 3.0 cm over the shelf's edge."),
        ("90", "is too much. Type at most 52.0 cm."),
        ("", "A measure is missing here."),
    ):
        live = client.post(f"{address}live/", fields(row, left_mm=left))
        assert said in text_of(live), left
        assert said in text_of(client.post(address, fields(row, left_mm=left))), left
    row.refresh_from_db()
    assert (row.x_mm, row.pinned) == (-100.0, False)
    assert other.pot.code in text_of(client.post(f"{address}live/", fields(row, left_mm="33")))


def test_two_windows_do_not_move_it_over_each_other(cast: School) -> None:
    slot, (row, _other) = a_load(cast)
    address = reverse("load_move", args=[slot.pk, row.pot_id])
    stale = fields(row, front_mm="10")
    move_pot(
        slot=slot, pot=row.pot, to=Spot(0, 0.0, 150.0), seen=spot_of(row), by=cast.head, at=NOW
    )
    page = text_of(signed_in(cast.teacher).post(address, stale))
    assert f"{row.pot.code} was moved meanwhile." in page
    page = text_of(signed_in(cast.teacher).post(address, stale | {"seen": "nonsense"}))
    assert "Where the pot stood is not known." in page
    row.refresh_from_db()
    assert (row.x_mm, row.y_mm) == (0.0, 150.0)


def test_a_pot_that_was_taken_out_meanwhile_leads_back(cast: School) -> None:
    slot, (row, _other) = a_load(cast)
    address = reverse("load_move", args=[slot.pk, row.pot_id])
    take_out(slot=slot, pots=[row.pot], by=cast.head, at=NOW)
    answer = signed_in(cast.teacher).get(address)
    assert answer.status_code == 409
    assert b"isn&#x27;t in the load any more" in answer.content


def test_it_can_be_held_over_every_shelf(cast: School) -> None:
    slot, (row, *_others) = a_load(cast, 40)
    assert len(contents(slot).posts_mm) > 1
    client = signed_in(cast.teacher)
    address = reverse("load_move_live", args=[slot.pk, row.pot_id])
    assert "Layer 2" in text_of(client.post(address, fields(row, layer=1)))
    under_a_finger = text_of(client.post(address, fields(row, layer=1, still="")))
    assert "Layer 2" not in under_a_finger


@pytest.mark.both_databases
def test_as_few_queries_for_thirty_pots_as_for_two(cast: School) -> None:
    measures = {"shelf_width_mm": 1400, "shelf_depth_mm": 1400, "usable_height_mm": 1000}
    slot = a_slot(cast.technician, kiln=a_kiln(cast.technician, **measures))
    pots = many_dry(cast, 30)
    place_pots(slot=slot, pots=pots[:2], by=cast.technician, at=NOW)
    client = signed_in(cast.technician)
    address = reverse("load_move", args=[slot.pk, pots[0].pk])

    def counted() -> int:
        with CaptureQueriesContext(connection) as captured:
            assert client.get(address).status_code == 200
        return len(captured)

    few = counted()
    place_pots(slot=slot, pots=pots[2:], by=cast.technician, at=NOW)
    assert counted() == few
    assert few <= 15


@pytest.mark.browser
def test_a_finger_and_the_arrow_keys_move_it_and_the_page_says_whether_it_fits(
    cast: School, windows: Windows
) -> None:
    slot, (row, _other) = a_load(cast)
    visitor = windows.signed_in(cast.teacher, PHONE)
    visitor.open(reverse("load_move", args=[slot.pk, row.pot_id]))
    page = visitor.page
    said, pot, left = (
        page.locator("#move-said"),
        page.locator(".mover"),
        page.locator("#id_left_mm"),
    )
    expect(said).to_contain_text("It fits there.")
    pot.focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Shift+ArrowRight")
    expect(left).to_have_value("16.6")
    expect(pot).to_be_focused()
    box, shelf = pot.bounding_box(), page.locator(".layer-shelf").bounding_box()
    assert box is not None
    assert shelf is not None
    mm = shelf["width"] / KILN_MM
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 60 * mm, y)
    page.mouse.move(x + 184 * mm, y)
    expect(said).to_contain_text("It doesn't fit there.")
    expect(said).to_contain_text("overlap by")
    page.mouse.move(x, y - 140 * mm)
    expect(said).to_contain_text("It fits there.")
    page.mouse.up()
    page.get_by_role("button", name="Keep it there").click()
    page.wait_for_url("**/load/")
    row.refresh_from_db()
    assert row.pinned
    # The browser knows pixels: a few millimetres either way.
    assert abs(row.x_mm + 94) < 4
    assert abs(row.y_mm - 140) < 4
