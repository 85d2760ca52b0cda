"""Photos of a full-size drawing: one traced, one that couldn't be, one whose points are tapped."""

from collections.abc import Mapping
from io import BytesIO
from typing import Any

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from planning.models import Piece, PlanPhoto
from planning.services.plan_photos import Scaled, add_plan_photo
from studio.uploads.models import StoredImage
from tests.cast import NOW, School
from tests.planning.plan_photos import CARD, FOUR, traced, untraced
from tests.planning.work import photo


def things(cast: School, made: Mapping[str, str]) -> dict[str, Any]:
    piece = Piece.objects.select_related("studio", "student").get(pk=made["piece"])
    return {
        "plan_photo": _file(traced(_sent(piece, CARD, 201))),
        "untraced_photo": _file(untraced(_sent(piece, FOUR, 202), placed=True)),
        "tapped_photo": _file(_sent(piece, FOUR, 203)),
    }


def _sent(piece: Piece, scaled: Scaled, shade: int) -> PlanPhoto:
    file: SimpleUploadedFile = photo(shade, "plan.jpg")
    return add_plan_photo(
        piece=piece, by=piece.student, file=file, shows="front", scaled=scaled, at=NOW
    )


def _file(made: PlanPhoto) -> PlanPhoto:
    """A picture that was read, with its files."""
    out = BytesIO()
    Image.new("RGB", (600, 800), "#d9d0c3").save(out, "JPEG")
    names = [
        default_storage.save(f"images/{made.image.stem}-{size}.jpg", ContentFile(out.getvalue()))
        for size in ("full", "small")
    ]
    StoredImage.objects.filter(pk=made.image_id).update(
        state=StoredImage.State.READY,
        full_file=names[0],
        small_file=names[1],
        width=600,
        height=800,
    )
    return made
