"""What a student does in a project, made through the services in as few lines as a test wants."""

from io import BytesIO
from typing import Any

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from planning.geometry.inputs import Outline
from planning.models import Assignment, Piece, PlanVersion, Refinement, SourceForm, Thumbnail
from planning.plans.inputs import Drawn, Line
from planning.services.choosing import choose_design
from planning.services.drawings import add_refinement, add_thumbnail
from planning.services.plans import save_draft, send_plan
from planning.services.source_forms import add_source_form
from studio.people.models import User
from studio.uploads.models import StoredImage
from tests.cast import NOW, School
from tests.copied import copied
from tests.planning.projects import a_brief, given

# A bellied pot 200 mm high, within the brief of `projects.TERMS`; uneven by a hand's wobble.
LINES = (
    Line(0, 50, 52),
    Line(50, 80, 81),
    Line(100, 95, 95),
    Line(150, 85, 84),
    Line(200, 60, 60),
)


def a_piece(cast: School) -> Piece:
    """The student's piece in a project that their teacher gave to the class."""
    (assignment,) = given(cast.teacher, cast.section)
    return piece_of(assignment, cast.student)


def piece_of(assignment: Assignment, student: User) -> Piece:
    return Piece.objects.select_related("assignment__clay_body", "studio").get(
        assignment=assignment, student=student
    )


def photo(shade: int = 0, name: str = "idea.jpg") -> SimpleUploadedFile:
    """A small JPEG; each shade is another file."""
    out = BytesIO()
    Image.new("L", (24, 24), shade).save(out, "JPEG")
    return SimpleUploadedFile(name, out.getvalue(), content_type="image/jpeg")


def ready(drawing: Thumbnail | Refinement) -> None:
    """As if the photo had been read: most tests need no decoding."""
    StoredImage.objects.filter(pk=drawing.image_id).update(
        state=StoredImage.State.READY, full_file="f", small_file="s", width=24, height=24
    )


def source_forms(cast: School) -> list[SourceForm]:
    return [
        SourceForm.objects.filter(studio=cast.studio, name=name).first()
        or add_source_form(studio=cast.studio, by=cast.teacher, name=name)
        for name in ("poppy head", "whelk", "knuckle bone")
    ]


def draw(cast: School, piece: Piece, count: int = 6) -> list[Thumbnail]:
    """Thumbnails that could be read, from three source forms in turn.

    The first is added as a student does; the others are copies of it, each with a photo of its own.
    """
    forms = source_forms(cast)
    first = add_thumbnail(
        piece=piece, by=piece.student, file=photo(0), at=NOW, source_form=forms[0]
    )
    ready(first)
    photo_read = StoredImage.objects.get(pk=first.image_id)
    images = [
        copied(photo_read, stem=f"{photo_read.stem[:-4]}-{n:03}", original_sha256=f"{n:064x}")
        for n in range(1, count)
    ]
    thumbnails = [
        copied(
            first, image_id=image.pk, source_form_id=forms[n % 3].pk, position=first.position + n
        )
        for n, image in enumerate(images, start=1)
    ]
    StoredImage.objects.bulk_create(images)
    Thumbnail.objects.bulk_create(thumbnails)
    return [first, *thumbnails]


def choose(cast: School, piece: Piece) -> Thumbnail:
    """Explore as much as the brief asks, then choose the last idea."""
    *_rest, last = draw(cast, piece)
    reason = "It holds more than it shows."
    choose_design(piece=piece, thumbnail=last, reason=reason, by=piece.student, at=NOW)
    return last


def refine(piece: Piece, count: int = 2) -> list[Refinement]:
    refined = []
    for n in range(count):
        drawing = add_refinement(piece=piece, by=piece.student, file=photo(100 + n), at=NOW)
        ready(drawing)
        refined.append(drawing)
    return refined


def drawn_plan(lines: tuple[Line, ...] = LINES, **changed: Any) -> Drawn:
    entered: dict[str, Any] = {
        "outline": Outline("round"),
        "drawn_as": "wet",
        "wall_base_mm": 8.0,
        "wall_rim_mm": 8.0,
        "base_mm": 10.0,
        "uneven_on_purpose": False,
    } | changed
    return Drawn(lines=lines, **entered)


def send(cast: School, piece: Piece, **changed: Any) -> PlanVersion:
    """Explore, choose, draft and send a plan."""
    choose(cast, piece)
    save_draft(piece=piece, drawn=drawn_plan(**changed), at=NOW)
    return send_plan(piece=piece, by=piece.student, at=NOW)


def a_piece_with_a_plan(cast: School, title: str, **changed: Any) -> PlanVersion:
    """A piece of the student's own brief of this title, and its sent plan."""
    (assignment,) = given(cast.teacher, cast.section, brief=a_brief(cast.teacher, title))
    return send(cast, piece_of(assignment, cast.student), **changed)
