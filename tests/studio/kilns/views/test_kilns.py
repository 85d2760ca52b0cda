"""Kilns, as a browser uses their pages."""

from typing import Any

import pytest
from django.urls import reverse

from studio.kilns.models import Program
from studio.people.models import Studio
from studio.room.models import Kiln
from tests.cast import School, signed_in
from tests.studio.kilns.kiln_room import a_kiln, a_slot, text_of

pytestmark = pytest.mark.django_db


def typed(cast: School, posts: tuple[tuple[str, str], ...] = (), **changed: Any) -> dict[str, Any]:
    """A kiln as it is typed, in centimetres."""
    rows: dict[str, Any] = {"posts-TOTAL_FORMS": len(posts) + 1, "posts-INITIAL_FORMS": 0}
    for place, (height, sets) in enumerate(posts):
        rows |= {f"posts-{place}-height_mm": height, f"posts-{place}-sets": sets}
    values = {
        "name": "Front kiln",
        "shelf_shape": "round",
        "shelves": "4",
        "shelf_width_mm": "52",
        "shelf_depth_mm": "",
        "shelf_thickness_mm": "2",
        "usable_height_mm": "66",
        "headroom_mm": "1.5",
        "clearance_mm": "1",
        "most_c": "1280",
        "cooling_h": "6.5",
        "unload_below_c": "60",
        "start_from": "21:30",
        "start_until": "06:00",
        "off_from": "06:00",
        "off_until": "21:30",
        "confirms_shut_off": str(cast.technician.pk),
        "note": "",
    }
    return values | rows | changed


def test_the_first_kiln_comes_with_programs_and_a_look_at_a_page_with_none(cast: School) -> None:
    client = signed_in(cast.technician)
    for name in ("kiln_room", "kilns", "programs", "slot_new"):
        text_of(client.get(reverse(name)))
    assert not Program.objects.exists()
    assert "No kiln yet" in text_of(client.get(reverse("kiln_room")))
    data = typed(cast, (("15", "2"), ("10 cm", "3")))
    page = text_of(client.post(reverse("kiln_new"), data, follow=True))
    assert "Front kiln is in the kiln room. Look at its programs next." in page
    assert "Slow school bisque, cone 06" in page
    kiln = Kiln.objects.get()
    assert (kiln.shelf_width_mm, kiln.shelf_depth_mm, kiln.cooling_h) == (520, 520, 6.5)
    assert [str(each) for each in kiln.posts.all()] == ["3 × 100 mm", "2 × 150 mm"]


def test_a_kiln_is_typed_in_inches_where_the_studio_measures_so(cast: School) -> None:
    Studio.objects.filter(pk=cast.studio.pk).update(length_unit="in")
    data = typed(
        cast,
        (("6", "2"),),
        shelf_width_mm="20 1/2",
        shelf_thickness_mm="3/4",
        usable_height_mm="27",
        headroom_mm="1/2",
        clearance_mm="3/8",
    )
    signed_in(cast.technician).post(reverse("kiln_new"), data)
    kiln = Kiln.objects.get()
    # 1 in = 25.4 mm exactly (international yard and pound agreement, 1959), to the millimetre.
    assert (kiln.shelf_width_mm, kiln.shelf_thickness_mm, kiln.usable_height_mm) == (521, 19, 686)
    assert kiln.posts.get().height_mm == 152
    page = signed_in(cast.technician).get(reverse("kiln", args=[kiln.pk])).content.decode()
    assert 'value="20 1/2"' in page


@pytest.mark.parametrize(
    ("posts", "changed", "says"),
    [
        ((), {"shelf_shape": "oval"}, "Measure it from front to back as well."),
        ((), {"off_until": "late"}, "This is not a time. Type one such as 13:45."),
        ((), {"cooling_h": "nan"}, "This is not a number"),
        ((), {"most_c": "1500"}, "less than or equal to 1400"),
        ((), {"confirms_shut_off": "x"}, "“x” is not a valid UUID"),
        ((("15", ""),), {}, "How many shelves can they carry at once?"),
        ((("", "2"),), {}, "How high are they?"),
        ((("15", "2"), ("15", "1")), {}, "This height stands above already."),
        ((("1", "2"),), {}, "is too little"),
        ((), {"posts-TOTAL_FORMS": "x"}, "ManagementForm data is missing"),
    ],
)
def test_what_is_refused_stands_at_its_field(
    cast: School, posts: tuple[tuple[str, str], ...], changed: dict[str, str], says: str
) -> None:
    client = signed_in(cast.technician)
    assert says in text_of(client.post(reverse("kiln_new"), typed(cast, posts, **changed)))
    assert not Kiln.objects.exists()


def test_a_name_twice_is_refused_on_both_pages(cast: School) -> None:
    a_kiln(cast.technician, name="Front kiln")
    client, other = signed_in(cast.technician), a_kiln(cast.technician)
    for path in (reverse("kiln_new"), reverse("kiln", args=[other.pk])):
        assert "of this name already" in text_of(client.post(path, typed(cast)))


def test_a_kiln_is_changed_put_away_and_fired_again(cast: School) -> None:
    client = signed_in(cast.technician)
    small, tall = a_kiln(cast.technician, name="Small kiln"), a_kiln(cast.technician)
    data = typed(cast, (("30", "1"),), not_together_with=[str(small.pk)])
    page = text_of(client.post(reverse("kiln", args=[tall.pk]), data, follow=True))
    assert "Kept. Firings to come keep their start." in page
    page = text_of(client.get(reverse("kilns")))
    assert "Never together with Small kiln." in page
    assert "4 round shelves of 52.0 cm, 66.0 cm high inside, up to 1280 °C." in page
    assert "Lit from 21:30 to 06:00, off from 06:00 to 21:30; Joost B. confirms it." in page
    away = text_of(client.post(reverse("kiln_put_away", args=[tall.pk]), follow=True))
    assert "Front kiln is no longer fired. You find it below the list." in away
    back = text_of(client.post(reverse("kiln_bring_back", args=[tall.pk]), follow=True))
    assert "Front kiln is fired again." in back


def test_a_kiln_with_firings_to_come_says_what_to_do_first(cast: School) -> None:
    slot = a_slot(cast.technician)
    from_now = reverse("kiln_put_away", args=[slot.kiln_id])
    slot.unload_at = slot.unload_at.replace(year=2200)
    slot.save()
    answer = signed_in(cast.technician).post(from_now)
    assert answer.status_code == 422
    assert "Cancel or move it first." in answer.content.decode()


@pytest.mark.parametrize("shape", ["octagon", "oval", "rectangle"])
def test_each_shape_of_shelf_is_said_in_words(cast: School, shape: str) -> None:
    a_kiln(cast.technician, shelf_shape=shape, shelf_depth_mm=400)
    page = text_of(signed_in(cast.technician).get(reverse("kilns")))
    assert {
        "octagon": "4 eight-sided shelves of 52.0 cm across",
        "oval": "4 oval shelves of 52.0 cm by 40.0 cm",
        "rectangle": "4 shelves of 52.0 cm by 40.0 cm",
    }[shape] in page
