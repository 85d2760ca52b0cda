"""How far a photo of a drawing is, and what a page says and shows of it."""

from dataclasses import dataclass
from typing import Literal

from django.utils.translation import gettext as _

from planning.models import PlanPhoto
from planning.models.plan_photo import Row
from studio.uploads.models import StoredImage
from studio.web.shown import length_text

from .overlay import Overlay, overlay_of
from .wording import reason_sentence

State = Literal["reading", "refused", "tap", "tracing", "untraced", "traced", "placing"]

_ALIKE_MM = 1.0


@dataclass(frozen=True)
class Seen:
    """`state` says what comes next; `reason` why nothing could be traced."""

    photo: PlanPhoto
    state: State
    reason: str = ""
    overlay: Overlay | None = None
    asymmetry: str = ""

    @property
    def waits(self) -> bool:
        """The page asks again by itself."""
        return self.state in ("reading", "tracing")


def state_of(photo: PlanPhoto) -> State:
    """A photo as it stands, its image fetched."""
    if not photo.image.is_ready:
        return "reading" if photo.image.state == StoredImage.State.RECEIVED else "refused"
    if photo.wants_taps:
        return "tap"
    if photo.answer is None:
        return "tracing"
    if photo.is_trusted:
        return "traced"
    return "placing" if photo.lines else "untraced"


def seen(photo: PlanPhoto) -> Seen:
    """A photo as it stands, its image and its piece's studio fetched."""
    state = state_of(photo)
    if state == "refused":
        return Seen(photo, state, reason=photo.image.refusal)
    reason = (photo.answer or {}).get("reason")
    return Seen(
        photo,
        state,
        reason=reason_sentence(reason, photo.piece.studio) if reason else "",
        overlay=overlay_of(photo) if photo.answer else None,
        asymmetry=_asymmetry(photo) if photo.lines else "",
    )


def _asymmetry(photo: PlanPhoto) -> str:
    """How far left and right are from being alike, in a sentence."""
    if photo.is_base or photo.shows == PlanPhoto.Shows.SIDE:
        return ""
    if photo.sides != PlanPhoto.Sides.BOTH:
        return _("Half of the pot is drawn; the other half is taken as its mirror image.")
    known = [line for line in photo.lines if None not in line]
    if not known:
        return ""
    worst = max(known, key=_apart)
    if _apart(worst) < _ALIKE_MM:
        return _("Left and right are alike.")
    words = {
        "apart": length_text(_apart(worst), photo.piece.studio),
        "height": length_text(worst[0] or 0, photo.piece.studio),
    }
    return _("Left and right differ by %(apart)s at the most, at a height of %(height)s.") % words


def _apart(line: Row) -> float:
    return abs((line[1] or 0) - (line[2] or 0))
