"""What people do on the pages of pots and places, without JavaScript, and what they read."""

import re
from html import unescape
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from studio.people.idempotency import FIELD
from studio.ware.models import (
    DrynessCheck,
    Flaw,
    GlazeCheck,
    GreenwareCheck,
    Loss,
    Place,
    Pot,
    PotPhoto,
)
from studio.ware.services import lose_pots, note_flaw, put_in_place, withdraw_greenware
from tests.cast import NOW, School, signed_in
from tests.planning.work import photo
from tests.studio.ware.pots import (
    a_glaze,
    a_place,
    a_pot,
    again,
    bisqued,
    check,
    dried,
    move,
)

pytestmark = pytest.mark.django_db


def shown(client: Client, name: str, *of: object, **query: str) -> str:
    return _read(client.get(reverse(name, args=of), query))


def posted(client: Client, name: str, /, *of: object, **said: Any) -> str:
    """What somebody reads after sending a form."""
    return _read(client.post(reverse(name, args=of), said, follow=True))


def _read(answer: Any) -> str:
    assert answer.status_code in {200, 409, 422}, answer.status_code
    return " ".join(unescape(answer.content.decode()).replace("\xa0", " ").split())


class TestThePotOfAStudent:
    def test_the_buttons_are_those_that_are_allowed_now(self, cast: School) -> None:
        pot, client = a_pot(cast), signed_in(cast.student)
        page = shown(client, "pot", pot.pk)
        for words in ("It is leather-hard", "I wrapped it", "Building has ended", "Note a flaw"):
            assert words in page
        for words in ("Greenware check", "It broke, or is missing", "A step back", "Dryness"):
            assert words not in page

    def test_wet_hands_say_leather_hard_wrapped_and_where(self, cast: School) -> None:
        pot, client = a_pot(cast), signed_in(cast.student)
        cupboard = a_place(cast, "Damp cupboard", "damp")
        posted(client, "pot_stage", pot.pk, stage="leather_hard")
        posted(client, "pot_cover", pot.pk, do="cover")
        page = posted(client, "pot_place", pot.pk, place=cupboard.pk)
        assert "Leather-hard, Damp cupboard, wrapped since today." in page
        assert "I unwrapped it" in page
        assert "I wrapped it" in posted(client, "pot_cover", pot.pk, do="uncover")

    def test_building_ends_waits_and_goes_on(self, cast: School) -> None:
        pot, client = a_pot(cast), signed_in(cast.student)
        page = posted(client, "pot_built", pot.pk, do="ended")
        assert "It waits for the greenware check" in page
        assert "Building has ended" in posted(client, "pot_built", pot.pk, do="go_on")
        assert again(pot).said_built_at is None

    def test_a_stage_that_is_the_teacher_s_is_refused_with_a_sentence(self, cast: School) -> None:
        pot = a_pot(cast)
        page = posted(signed_in(cast.student), "pot_stage", pot.pk, stage="bone_dry")
        assert "it can't come to bone dry in one step" in page
        assert "is not on the list" in posted(
            signed_in(cast.student), "pot_stage", pot.pk, stage="glowing"
        )

    def test_places_stand_in_the_order_of_their_names(self, cast: School) -> None:
        for name in ("Window sill", "Cart B", "Cart A"):
            a_place(cast, name)
        page = shown(signed_in(cast.teacher), "places")
        assert page.index("Cart A") < page.index("Cart B") < page.index("Window sill")

    def test_a_retired_place_is_not_on_the_list(self, cast: School) -> None:
        pot, place = a_pot(cast), a_place(cast)
        Place.objects.update(retired=True)
        page = posted(signed_in(cast.student), "pot_place", pot.pk, place=place.pk)
        assert "not on the list, or not any more" in page

    def test_a_double_tap_notes_one_flaw(self, cast: School) -> None:
        pot, client = a_pot(cast), signed_in(cast.student)
        for _tap in range(2):
            page = posted(client, "pot_flaw", pot.pk, what="crack at the rim", **{FIELD: "one"})
        assert "Crack at the rim" in page
        assert Flaw.objects.count() == 1

    def test_a_lost_pot_says_what_stays_and_whom_to_ask(self, cast: School) -> None:
        pot = a_pot(cast)
        lose_pots(pots=[pot], kind="broken", by=cast.teacher, at=NOW)
        page = shown(signed_in(cast.student), "pot", pot.pk)
        assert "it is marked from its last photos" in page
        assert "Ask your teacher to begin another one" in page
        assert "Begin another pot" not in page


class TestCautions:
    """Facts of the trade: common practice, no source."""

    def test_bone_dry_ware_is_not_sanded_and_is_candled(self, cast: School) -> None:
        pot = dried(a_pot(cast), cast.teacher)
        for by in (cast.student, cast.teacher):
            page = shown(signed_in(by), "pot", pot.pk)
            assert "No sanding, no scraping: smooth it with a damp sponge" in page
            assert "damp ware can burst in the kiln. Every bisque is candled slowly" in page

    def test_fired_ware_is_for_food_only_by_a_leach_test(self, cast: School) -> None:
        pot = move(bisqued(a_pot(cast), cast.teacher), "on_display", cast.teacher)
        assert "Not for food, unless a laboratory's leach test" in shown(
            signed_in(cast.student), "pot", pot.pk
        )

    def test_dryness_is_never_called_safe(self, cast: School) -> None:
        dried(a_pot(cast), cast.teacher)
        page = shown(signed_in(cast.teacher), "dryness")
        text = re.sub(r"<[^>]*>", " ", page.partition("<main")[2].partition("</main>")[0])
        assert "by hand and by eye" in text.lower()
        assert "safe" not in text.lower()


class TestPhotos:
    def test_they_are_received_once_and_seen_by_who_sees_the_pot(self, cast: School) -> None:
        pot, client = a_pot(cast), signed_in(cast.student)
        page = posted(client, "pot_photos_add", pot.pk, photos=[photo(1)], occasion="building")
        assert "1 photo received" in page
        page = posted(
            client, "pot_photos_add", pot.pk, photos=[photo(1), photo(2)], occasion="building"
        )
        assert "This photo is here already" in page
        assert PotPhoto.objects.count() == 2
        made = PotPhoto.objects.first()
        assert made is not None
        address = reverse("pot_photo_image", args=[made.pk, "small"])
        assert signed_in(cast.classmate).get(address).status_code == 404
        assert client.get(reverse("pot_photo_image", args=[made.pk, "huge"])).status_code == 404

    def test_a_script_reads_each_answer_by_itself(self, cast: School) -> None:
        pot, client = a_pot(cast), signed_in(cast.student)
        address = reverse("pot_photos_add", args=[pot.pk])
        script = {"X-Requested-With": "fetch"}
        sent = {"photos": photo(1), "occasion": "building"}
        assert client.post(address, sent, headers=script).json()["ok"]
        again_ = {"photos": photo(1), "occasion": "building"}
        answer = client.post(address, again_, headers=script)
        assert (answer.status_code, "here already" in answer.json()["message"]) == (422, True)
        answer = client.post(address, {}, headers=script)
        assert (answer.status_code, answer.json()["ok"]) == (422, False)

    def test_what_is_no_photo_comes_back_with_the_reason(self, cast: School) -> None:
        pot, client = a_pot(cast), signed_in(cast.student)
        text = SimpleUploadedFile("words.jpg", b"words")
        page = posted(client, "pot_photos_add", pot.pk, photos=[text], occasion="building")
        assert "words.jpg:" in page
        page = posted(client, "pot_photos_add", pot.pk, occasion="building")
        assert "Choose one or more photos first" in page


class TestGreenware:
    SAID = {
        "height_mm": "19.4",
        "front_mm": "18.4",
        "depth_mm": "18.4",
        "thickest_mm": "1.4",
        "code_legible": "on",
    }

    def test_a_teacher_with_a_ruler_signs_it_off_in_the_studio_s_units(self, cast: School) -> None:
        pot, client = a_pot(cast), signed_in(cast.teacher)
        for _tap in range(2):
            page = posted(client, "greenware", pot.pk, **self.SAID, **{FIELD: "one"})
        assert "It dries from now on" in page
        [made] = GreenwareCheck.objects.all()
        assert (made.height_mm, made.thickest_mm) == (194, 14)

    def test_an_odd_size_is_asked_about_and_then_ticked(self, cast: School) -> None:
        pot, client = a_pot(cast), signed_in(cast.teacher)
        odd = self.SAID | {"height_mm": "194"}
        page = posted(client, "greenware", pot.pk, **odd)
        assert "The plan says 20.0 cm here, you measured 194.0 cm" in page
        assert "I measured again, and it is so" in page
        posted(client, "greenware", pot.pk, confirm="on", **odd)
        assert GreenwareCheck.objects.get().height_mm == 1940

    def test_a_code_that_can_t_be_read_says_what_to_do_at_its_field(self, cast: School) -> None:
        pot = a_pot(cast)
        said = {name: value for name, value in self.SAID.items() if name != "code_legible"}
        page = posted(signed_in(cast.teacher), "greenware", pot.pk, **said)
        assert f"Scratch {pot.code} into the base again" in page

    def test_it_is_taken_back_with_a_reason(self, cast: School) -> None:
        pot, client = a_pot(cast), signed_in(cast.teacher)
        check(pot, cast.teacher)
        assert "Take the greenware check back" in shown(client, "pot", pot.pk)
        assert "Write why" in posted(client, "greenware_take_back", pot.pk)
        page = posted(client, "greenware_take_back", pot.pk, reason="One row more")
        assert "Greenware check, taken back later" in page

    def test_a_bone_dry_pot_whose_check_was_taken_back_is_measured_from_its_page(
        self, cast: School
    ) -> None:
        pot, client = dried(a_pot(cast), cast.teacher), signed_in(cast.teacher)
        link = reverse("greenware", args=[pot.pk])
        assert link not in shown(client, "pot", pot.pk).replace(f"{link}take-back/", "")
        posted(client, "greenware_take_back", pot.pk, reason="Measured wrongly")
        assert f'href="{link}"' in shown(client, "pot", pot.pk)


class TestOtherChecks:
    def test_many_are_felt_at_once_by_tapping_and_by_code(self, cast: School) -> None:
        pots = [a_pot(cast, "One"), a_pot(cast, "Two", cast.classmate)]
        for pot in pots:
            move(pot, "leather_hard", cast.teacher)
            check(pot, cast.teacher)
        client = signed_in(cast.technician)
        page = shown(client, "dryness", pot=str(pots[0].pk))
        assert f'value="{pots[0].pk}" checked' in page
        typed = pots[1].code.lower().replace("-", "")
        page = posted(client, "dryness", pots=[pots[0].pk], codes=typed, air_dry="yes")
        assert "Kept for 2 pots" in page
        assert "No pot waits for it" in page
        assert DrynessCheck.objects.count() == 2

    def test_a_long_row_of_codes_is_read_to_its_end(self, cast: School) -> None:
        pots = [dried(a_pot(cast, title), cast.teacher) for title in ("One", "Two")]
        typed = " ".join([pots[0].code] * 70 + [pots[1].code])
        page = posted(signed_in(cast.teacher), "dryness", codes=typed, air_dry="no")
        assert "Kept for 2 pots" in page

    def test_a_code_of_nobody_is_read_back(self, cast: School) -> None:
        client = signed_in(cast.technician)
        page = posted(client, "dryness", codes="K9-9K", air_dry="yes")
        assert "“K9-9K” is no pot that you can choose here" in page
        assert "Tap at least one pot" in posted(client, "dryness", air_dry="yes")

    def test_pots_without_a_greenware_check_are_named_apart(self, cast: School) -> None:
        pot = dried(a_pot(cast), cast.teacher)
        withdraw_greenware(pot=pot, by=cast.teacher, at=NOW, reason="Measured wrongly")
        page = shown(signed_in(cast.teacher), "dryness")
        assert "These are measured first" in page
        assert pot.code in page

    def test_a_glaze_check_keeps_what_is_on_the_pot(self, cast: School) -> None:
        pot, glaze = bisqued(a_pot(cast), cast.teacher), a_glaze(cast)
        client = signed_in(cast.teacher)
        assert "Choose the glazes that are on the pot" in posted(
            client, "glaze_check", pot.pk, note="two coats"
        )
        page = posted(client, "glaze_check", pot.pk, glazes=[glaze.pk], thickness_fits="on")
        assert "Glaze checked: Celadon; foot not clean" in page
        posted(client, "glaze_check", pot.pk, glazes=[glaze.pk], foot_clean="on", note="two coats")
        assert "Celadon; too thick or too thin: two coats" in shown(client, "pot", pot.pk)
        assert GlazeCheck.objects.count() == 2


class TestLosses:
    def test_it_breaks_its_cause_is_set_and_another_begins(self, cast: School) -> None:
        pot, client = a_pot(cast), signed_in(cast.teacher)
        for _tap in range(2):
            page = posted(client, "pot_lost", pot.pk, kind="broken", **{FIELD: "one"})
        assert "It broke" in page
        loss = Loss.objects.get()
        assert loss.cause == "unknown"
        page = posted(client, "loss_cause", loss.pk, cause="accident")
        assert "Broken; cause: accident" in page
        assert "Choose a cause from the list" in posted(client, "loss_cause", loss.pk, cause="x")
        page = posted(client, "pot_begin", pot.piece_id)
        assert f"{pot.code}/2" in page
        assert "was begun in its stead" in posted(client, "pot_found", pot.pk)

    def test_it_turns_up_again(self, cast: School) -> None:
        pot, client = a_pot(cast), signed_in(cast.teacher)
        posted(client, "pot_lost", pot.pk, kind="missing", cause="")
        assert "Found again" in posted(client, "pot_found", pot.pk)
        assert again(pot).lost == ""

    def test_the_cause_of_a_flaw_is_set_by_staff(self, cast: School) -> None:
        flaw = note_flaw(pot=a_pot(cast), what="a crack", by=cast.student, at=NOW)
        posted(signed_in(cast.teacher), "flaw_cause", flaw.pk, cause="making")
        assert Flaw.objects.get().cause == "making"

    def test_fired_by_hand_and_a_step_back_say_why(self, cast: School) -> None:
        pot, client = dried(a_pot(cast), cast.teacher), signed_in(cast.teacher)
        page = posted(client, "pot_stage", pot.pk, stage="bisque_fired")
        assert "To put it down by hand, write why" in page
        page = posted(client, "pot_stage", pot.pk, stage="bisque_fired", reason="Elsewhere")
        assert "Bisque fired: Elsewhere" in page
        page = posted(client, "pot_stage", pot.pk, stage="bone_dry", reason="Mixed up")
        assert "Bone dry: Mixed up" in page


class TestPlaces:
    def test_a_cart_is_scanned_and_filled_wrapped_once(self, cast: School) -> None:
        pots = [a_pot(cast, "One"), a_pot(cast, "Two", cast.classmate)]
        cart, client = a_place(cast, "Cart 2", "cart"), signed_in(cast.teacher)
        page = shown(client, "place", cart.pk, of=str(cast.section.pk))
        assert all(pot.code in page for pot in pots)
        said = {"pots": [pots[0].pk], "codes": pots[1].code, "do": "put_wrapped", FIELD: "one"}
        for _tap in range(2):
            page = posted(client, "place_put", cart.pk, **said)
        assert "2 pots put here, wrapped." in page
        assert "2 stand here" in page
        assert all(again(pot).covered_since for pot in pots)
        page = posted(client, "place_cover", cart.pk, pots=[pots[0].pk], do="uncover")
        assert "1 pot unwrapped." in page
        assert "1 pot wrapped." in posted(
            client, "place_cover", cart.pk, pots=[pots[0].pk], do="cover"
        )

    def test_all_or_none_are_put_and_wrapped(self, cast: School) -> None:
        wet, fired = a_pot(cast, "One"), bisqued(a_pot(cast, "Two"), cast.teacher)
        shelf = a_place(cast)
        page = posted(
            signed_in(cast.teacher),
            "place_put",
            shelf.pk,
            pots=[wet.pk, fired.pk],
            do="put_wrapped",
        )
        assert "a cover keeps nothing damp there any more" in page
        assert not Pot.objects.filter(place=shelf).exists()

    def test_a_student_puts_their_own_and_sees_no_other_names(self, cast: School) -> None:
        mine, other = a_pot(cast, "One"), a_pot(cast, "Two", cast.classmate)
        shelf, client = a_place(cast), signed_in(cast.student)
        put_in_place(pots=[other], place=shelf, by=cast.teacher, at=NOW)
        page = shown(client, "place", shelf.pk)
        assert mine.code in page
        assert other.code not in page
        assert "Besides, 1 pot of somebody else" in page
        page = posted(client, "place_put", shelf.pk, pots=[mine.pk], do="put")
        assert "1 pot put here." in page
        page = posted(client, "place_put", shelf.pk, pots=[other.pk], do="put")
        assert "is not on the list" in page
        assert "You have no pot that stands elsewhere" in shown(client, "place", shelf.pk)

    def test_here_nothing_is_wrapped_without_a_tap(self, cast: School) -> None:
        page = posted(signed_in(cast.teacher), "place_cover", a_place(cast).pk, do="cover")
        assert "Tap at least one pot" in page

    def test_places_are_added_renamed_retired_and_used_again(self, cast: School) -> None:
        client = signed_in(cast.technician)
        assert "No place yet" in shown(client, "places")
        assert "Cart 2 is on the list" in posted(client, "places", name="Cart 2", kind="cart")
        place = Place.objects.get()
        assert "of this name already" in posted(client, "places", name="cart 2", kind="cart")
        assert "Cart two" in posted(client, "place_edit", place.pk, name="Cart two", kind="cart")
        assert "No longer used" in posted(client, "place_retire", place.pk)
        assert "no longer used" in shown(client, "place", place.pk)
        posted(client, "place_bring_back", place.pk)
        assert not Place.objects.get().retired


class TestAClassAtOnce:
    def test_a_lesson_s_pots_come_to_a_stage_together(self, cast: School) -> None:
        pots = [a_pot(cast, "One"), a_pot(cast, "Two", cast.classmate)]
        client, ids = signed_in(cast.teacher), [pot.pk for pot in pots]
        page = posted(client, "class_pots", cast.section.pk, pots=ids, stage="leather_hard")
        assert "2 pots: now leather-hard." in page
        page = posted(client, "class_pots", cast.section.pk, pots=ids, stage="bone_dry")
        assert page.count("has no greenware check. Check it before it is bone dry") == 2
        assert f'value="{ids[0]}" checked' in page

    def test_a_class_without_pots_says_how_one_begins(self, cast: School) -> None:
        page = shown(signed_in(cast.teacher), "class_pots", cast.section.pk)
        assert "A pot begins when its clay is issued" in page

    def test_the_cover_list_is_ticked_off(self, cast: School) -> None:
        pots = [a_pot(cast, "One"), a_pot(cast, "Two", cast.classmate)]
        client = signed_in(cast.teacher)
        page = shown(client, "cover_list", cast.section.pk)
        assert "These 2 pots" in page
        assert page.count(" checked>") == 2
        page = posted(client, "cover_list", cast.section.pk, pots=[pot.pk for pot in pots])
        assert "All of them are wrapped." in page
        check(pots[0], cast.teacher)
        check(pots[1], cast.teacher)
        page = shown(client, "cover_list", cast.section.pk)
        assert "Nothing of this class has to be wrapped" in page
