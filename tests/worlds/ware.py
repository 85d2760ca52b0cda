"""Pots, places and what is recorded about them."""

from collections.abc import Mapping
from io import BytesIO
from typing import Any

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from PIL import Image

from planning.models import PlanVersion
from planning.services.plans import approve
from studio.uploads.models import StoredImage
from studio.ware.models import Pot, PotPhoto
from studio.ware.services import (
    add_pot_photo,
    begin_pot,
    cover,
    lose_pots,
    note_flaw,
    put_in_place,
    say_built,
)
from tests.cast import NOW, School
from tests.planning.work import a_piece_with_a_plan, photo
from tests.studio.ware.pots import a_place, a_pot, glazed


def things(cast: School, made: Mapping[str, str]) -> dict[str, Any]:
    """A wet pot of a fifth piece, whose plan is approved; one that broke; one that is glazed."""
    plan: PlanVersion = a_piece_with_a_plan(cast, "A pot under way")
    approve(plan=plan, by=cast.teacher, at=NOW)
    pot = begin_pot(piece=plan.piece, by=cast.teacher, at=NOW)
    shelf = a_place(cast, "Shelf by the window")
    put_in_place(pots=[pot], place=shelf, by=cast.student, at=NOW)
    cover(pots=[pot], by=cast.student, at=NOW)
    say_built(pot=pot, by=cast.student, at=NOW)
    flaw = note_flaw(pot=pot, what="crack at the rim", by=cast.student, at=NOW)
    broken = a_pot(cast, "A pot that broke")
    [loss] = lose_pots(pots=[broken], kind="broken", by=cast.teacher, at=NOW)
    return {
        "pot": pot,
        "pot_piece": plan.piece,
        "lost_pot": broken,
        "glazed_pot": glazed(a_pot(cast, "A pot before its glaze firing"), cast),
        "place": shelf,
        "flaw": flaw,
        "loss": loss,
        "pot_photo": _photographed(pot, cast),
    }


def _photographed(pot: Pot, cast: School) -> PotPhoto:
    """A photo of it that was read, with its files."""
    made = add_pot_photo(pot=pot, occasion="building", file=photo(9), by=cast.student, at=NOW)
    out = BytesIO()
    Image.new("RGB", (640, 480), "#d9d0c3").save(out, "JPEG")
    names = [
        default_storage.save(f"images/{made.image.stem}-{size}.jpg", ContentFile(out.getvalue()))
        for size in ("full", "small")
    ]
    StoredImage.objects.filter(pk=made.image_id).update(
        state=StoredImage.State.READY,
        full_file=names[0],
        small_file=names[1],
        width=640,
        height=480,
    )
    return made
