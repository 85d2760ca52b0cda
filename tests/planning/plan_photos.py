"""Photos of full-size drawings, and pieces that have one."""

from functools import cache
from typing import Any

from django.core.files.uploadedfile import SimpleUploadedFile

from planning.models import Piece, PlanPhoto
from planning.services.plan_photos import Scaled, add_plan_photo
from studio.uploads.models import StoredImage
from tests.cast import NOW, School
from tests.planning.tracing.drawn import Drawn, Sheet, drawn
from tests.planning.tracing.scene import Camera
from tests.planning.work import a_piece, choose

CARD = Scaled("card", 20.0)
FOUR = Scaled("four", 20.0, 0.0, 140.0, 0.0, 45.0)


@cache
def photographed(*, half: bool = False, card: bool = True) -> Drawn:
    """A pot 160 mm high, half-widths to 60 mm, on a photo that is small and so quickly read."""
    sheet = Sheet(height_mm=160, widest_mm=60, half=half, card=card, labels=card)
    return drawn(sheet, Camera(1800, tilt_deg=6, towards_deg=30), 11)


def file_of(truth: Drawn) -> SimpleUploadedFile:
    return SimpleUploadedFile("drawing.jpg", truth.photo.jpeg, content_type="image/jpeg")


def chosen_piece(cast: School) -> Piece:
    piece = a_piece(cast)
    choose(cast, piece)
    return piece


def sent(piece: Piece, *, shows: str = "front", scaled: Scaled = CARD, **how: Any) -> PlanPhoto:
    return add_plan_photo(
        piece=piece,
        by=piece.student,
        file=file_of(photographed(**how)),
        shows=shows,
        scaled=scaled,
        at=NOW,
    )


# A pot as a photo of 600 × 800 px straight from above at 4 px a mm would give it: its axis at
# x = 300, its table at y = 760.
STRAIGHT = [[4.0, 0.0, 300.0], [0.0, -4.0, 760.0], [0.0, 0.0, 1.0]]
ROWS = [[0.0, 40.0, 42.0], [50.0, 60.0, 61.0], [100.0, 65.0, 64.0], [150.0, 45.0, 45.0]]


def read(photo: PlanPhoto) -> PlanPhoto:
    """As if its picture had been read: most tests need no decoding."""
    StoredImage.objects.filter(pk=photo.image_id).update(
        state=StoredImage.State.READY, full_file="f", small_file="s", width=600, height=800
    )
    photo.refresh_from_db()
    return photo


def traced(photo: PlanPhoto, **more: Any) -> PlanPhoto:
    """As if it had been traced without a doubt."""
    read(photo)
    photo.answer = {
        "trusted": True,
        "rough": False,
        "reason": None,
        "homography": STRAIGHT,
        "points_homography": None,
        "bend": 0.0,
        "asymmetry_mm": 2.0,
        "spacing_mm": 50.0,
        "shows": "whole",
        "drawn_on": "both",
        "profile": [],
        "points": [],
    } | more
    photo.lines = [list(row) for row in ROWS]
    photo.save()
    return photo


def untraced(photo: PlanPhoto, *, placed: bool) -> PlanPhoto:
    """As if nothing could be traced; `placed`: but the tapped points say where its paper is."""
    homography = STRAIGHT if placed else None
    reason = {"code": "gaps", "values": {}}
    traced(photo, trusted=False, reason=reason, homography=None, points_homography=homography)
    photo.lines = []
    if placed:
        photo.taps = [[300.0, 760.0], [480.0, 760.0], [480.0, 200.0], [300.0, 200.0]]
    photo.save()
    return photo
