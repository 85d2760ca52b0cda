"""A week of kilns at the technician's laptop: planned, pinned, moved, taken out, planned again,
printed, fired and logged on a phone; the pots move on, and a student sees when to expect theirs.
"""

from datetime import date, time, timedelta

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from studio.kilns.models import Placement, Slot
from studio.kilns.selectors.loads import contents
from studio.kilns.services.slots import add_slot
from studio.ware.models import Pot, Stage
from tests.browser import Windows, follow
from tests.cast import NOW, School, today_there
from tests.chromium import PHONE
from tests.studio.kilns.kiln_room import a_kiln, program
from tests.studio.kilns.loading import many_dry, wrong_with
from tests.studio.paper.measuring import Print

pytestmark = pytest.mark.browser

# Small enough that all stand in one load, with room to move.
SIZES = ((110, 110, 130), (120, 120, 120), (100, 100, 125))


def two_firings(cast: School, monday: date) -> list[Slot]:
    """On Tuesday and Thursday evening of a week to come, in a kiln that may be lit at any hour."""
    by = cast.technician
    kiln = a_kiln(by, off_from=time(0), off_until=time(23, 59))
    return [
        add_slot(
            kiln=kiln,
            program=program(by),
            on=monday + timedelta(days=day),
            start=time(20),
            confirms=by,
            by=by,
            at=NOW,
        )
        for day in (1, 3)
    ]


def test_a_week_is_planned_changed_by_hand_printed_and_fired(
    cast: School, windows: Windows
) -> None:
    today = today_there()
    monday = today + timedelta(days=7 - today.weekday())
    pots = many_dry(cast, 6, sizes=SIZES)
    slots = two_firings(cast, monday)
    visitor = windows.signed_in(cast.technician)
    week = f"{reverse('week_plan')}?week={monday.isoformat()}"

    plan(visitor.open(week), "Plan it")
    page = visitor.page
    expect(page.get_by_role("heading", name="Can it be better?")).to_be_visible()
    follow(page, page.get_by_role("button", name="Load it like this"))
    slot = next(each for each in slots if contents(each).placements)
    assert {each.pot_id for each in contents(slot).placements} == {pot.pk for pot in pots}

    pinned, out, moved = pots[:3]
    choose(page, pinned, "Pin them")
    expect(page.get_by_role("row", name=pinned.code)).to_contain_text("pinned")
    free = next(each for each in contents(slot).placements if each.pot_id == out.pk)
    choose(page, out, "Take the ticked ones out")
    expect(page.get_by_role("row", name=out.code)).to_have_count(0)
    move(page, moved, free)
    before = places(slot)

    visitor.open(week)
    page.locator("details.week-class summary").first.click()
    page.locator(f"#pot-{out.pk}").select_option(label="not now")
    plan(page, "Plan it anew")
    expect(page.locator("#plan")).to_contain_text("It is kept back by hand.")
    # What stands in a load was neither moved nor taken out by planning again.
    assert places(slot) == before
    assert wrong_with(slot) == []

    printed(page, monday, pots, out)
    student = windows.signed_in(pinned.piece.student, PHONE).open(pinned.piece.get_absolute_url())
    expect(student.get_by_text("It is expected out on").first).to_be_visible()
    fired(windows, cast, slot)
    stages = {pot.pk: Pot.objects.get(pk=pot.pk).stage for pot in pots}
    assert stages.pop(out.pk) == Stage.BONE_DRY
    assert set(stages.values()) == {Stage.BISQUE_FIRED}


def plan(page: Page, button: str) -> None:
    follow(page, page.get_by_role("button", name=button))
    expect(page.get_by_text("as things stood then")).to_be_visible()


def choose(page: Page, pot: Pot, button: str) -> None:
    page.get_by_role("row", name=pot.code).get_by_role("checkbox").check()
    follow(page, page.get_by_role("button", name=button))


def move(page: Page, pot: Pot, free: Placement) -> None:
    """Dragged off its shelf the page says so; it fits where a wider one was taken out."""
    follow(page, page.get_by_role("link", name=f"Move {pot.code}"))
    said = page.get_by_role("status").filter(has_text="fit")
    expect(said).to_contain_text("It fits there.")
    mover, shelf = page.locator(".mover"), page.locator(".layer-shelf").bounding_box()
    box = mover.bounding_box()
    assert shelf is not None
    assert box is not None
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.down()
    page.mouse.move(shelf["x"], shelf["y"], steps=5)
    page.mouse.up()
    expect(said).to_contain_text("It doesn't fit there.")
    page.get_by_label("Layer", exact=True).select_option(str(free.layer))
    kiln = free.load.slot.kiln
    from_left, from_front = (
        free.x_mm + kiln.shelf_width_mm / 2,
        free.y_mm + kiln.shelf_depth_mm / 2,
    )
    page.get_by_label("Its middle from the left").fill(f"{from_left} mm")
    page.get_by_label("Its middle from the front").fill(f"{from_front} mm")
    expect(said).to_contain_text("It fits there.")
    follow(page, page.get_by_role("button", name="Keep it there"))
    expect(page.get_by_text(f"{pot.code} stands there now and is pinned")).to_be_visible()


def places(slot: Slot) -> dict[object, tuple[int, float, float]]:
    return {each.pot_id: (each.layer, each.x_mm, each.y_mm) for each in contents(slot).placements}


def printed(page: Page, monday: date, pots: list[Pot], out: Pot) -> None:
    """The week's print has every pot of the load on its map, and not the one that was taken out."""
    root = "/".join(page.url.split("/")[:3])
    address = f"{root}{reverse('kiln_schedule_pdf')}?week={monday.isoformat()}"
    read = Print(page.context.request.get(address).body())
    words = " ".join(read.text(number) for number in range(len(read.texts)))
    assert [pot.code for pot in pots if pot.code not in words] == [out.code]


def fired(windows: Windows, cast: School, slot: Slot) -> None:
    """Lit, logged, shut off and unloaded, on the phone beside the kiln."""
    visitor = windows.signed_in(cast.technician, PHONE, has_touch=True, is_mobile=True)
    page = visitor.open(reverse("load", args=[slot.pk]))
    page.get_by_label("Why it fires part full").fill("The class is done")
    follow(page, page.get_by_role("button", name="I have lit it"))
    follow(page, page.get_by_role("link", name="Log and shut-off"))
    page.get_by_label("Temperature").fill("612")
    follow(page, page.get_by_role("button", name="Write it down"))
    expect(page.locator("table").first).to_contain_text("612")
    page.get_by_label("I stand at the kiln").check()
    follow(page, page.get_by_role("button", name="It is off"))
    follow(page, page.get_by_role("link", name="Unload it"))
    page.get_by_role("textbox", name="Witness cone").fill("06 down")
    page.get_by_label("read below its unloading temperature").check()
    page.get_by_label("the witness cones say that it reached").check()
    follow(page, page.get_by_role("button", name="It is unloaded"))
    expect(page.get_by_role("status")).to_contain_text("The pots have moved on")
