"""Photos of made-up drawings, sent to a piece and read and compared as the service does."""

from functools import cache

import cv2
import numpy as np
from django.core.files.uploadedfile import SimpleUploadedFile

from planning.models import DrawnForm, Ideas, Piece, SourceForm, Thumbnail
from planning.services.drawings import add_thumbnail
from studio.jobs.models import Job
from studio.jobs.tasks import run_job
from tests.cast import NOW
from tests.planning.exploration.drawn import Way, on_paper, taken
from tests.planning.exploration.ideas import UNSEEN, Array, redrawn
from tests.study.drawings import made_up

FORMS = made_up(200_300, 5, UNSEEN)
"""Five outlines that no two of which are one idea."""


@cache
def picture(form: int, time: int = 0, shot: int = 0) -> Array:
    """A form drawn on paper and photographed; `time` is another drawing of it, `shot` another photo
    of the same."""
    rng = np.random.default_rng((form, time))
    paper = on_paper(redrawn(FORMS[form], rng, 0.7), Way(), rng)
    return taken(paper, np.random.default_rng((form, time, shot)), 0.6 if shot else 0.2)


BLANK: Array = np.full((300, 200), 240, np.uint8)


def file_of(photo: Array, name: str = "idea.jpg") -> SimpleUploadedFile:
    _, data = cv2.imencode(".jpg", photo)
    return SimpleUploadedFile(name, data.tobytes(), content_type="image/jpeg")


def sent(piece: Piece, photo: Array, source_form: SourceForm | None = None) -> Thumbnail:
    return add_thumbnail(
        piece=piece, by=piece.student, file=file_of(photo), at=NOW, source_form=source_form
    )


def run_all() -> None:
    """Every job that waits, first come, first served, and what it asks for."""
    waiting = Job.objects.filter(state=Job.State.WAITING).order_by("asked_at")
    while job := waiting.first():
        run_job.call(str(job.pk))


def ideas_of(piece: Piece) -> Ideas:
    return Ideas.objects.get(piece=piece)


def as_compared(piece: Piece, most: int, **told: object) -> Ideas:
    """As if the standing drawings had been compared: most tests need no pictures."""
    ids = [
        str(pk)
        for pk in Thumbnail.objects.readable().filter(piece=piece).values_list("pk", flat=True)
    ]
    answer = {
        "distinct": float(most),
        "low": float(most),
        "high": float(most),
        "vendi": float(most),
        "groups": [[pk] for pk in ids],
        "readable": ids,
        "similarity": np.eye(len(ids)).tolist(),
        "copies": [],
        "unreadable": [],
        "shapes": {pk: ["tall", "middle"] for pk in ids},
    } | told
    row, _ = Ideas.objects.update_or_create(
        piece=piece,
        defaults={
            "of": ids,
            "count": len(ids),
            "most": most,
            "answer": answer,
            "version": Ideas.VERSION,
            "computed_at": NOW,
        },
    )
    return row


def forms_kept() -> int:
    return DrawnForm.objects.count()
