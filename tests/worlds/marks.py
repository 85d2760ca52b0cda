"""Rubrics, marks and results."""

from collections.abc import Mapping
from io import BytesIO
from typing import Any

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from PIL import Image

from assessments.services.rubrics import create_rubric
from planning.models import Piece
from studio.uploads.models import StoredImage
from studio.ware.models import Pot
from tests.assessments.work import mark, released, written
from tests.cast import NOW, School


def things(cast: School, made: Mapping[str, str]) -> dict[str, Any]:
    """A rubric of the studio's own; a piece that is marked; one whose pot broke, released."""
    marked = Piece.objects.get(pk=made["pot_piece"])
    mark(marked, cast.teacher, "4", "3", None, "2", comment="A quiet line so far.")
    broken = Pot.objects.get(pk=made["lost_pot"]).piece
    released(broken, cast.teacher, "4", "3", "2", "3", comment="The shoulder holds.")
    rubric = create_rubric(
        studio=cast.studio, by=cast.teacher, title="Lidded jars", criteria=[written()], at=NOW
    )
    _write_files(cast)
    return {
        "rubric": rubric,
        "marked_piece": marked,
        "marked_assignment": marked.assignment_id,
        "released_piece": broken,
        "released_assignment": broken.assignment_id,
    }


def _write_files(cast: School) -> None:
    """Pictures to look at, for the drawings that count as read."""
    out = BytesIO()
    Image.new("RGB", (640, 480), "#d9d0c3").save(out, "JPEG")
    name = default_storage.save("images/drawn.jpg", ContentFile(out.getvalue()))
    StoredImage.objects.filter(studio=cast.studio, full_file="f").update(
        full_file=name, small_file=name, width=640, height=480
    )
