"""Which step a pot may take from one stage to another. Pure: the standard library only.

The order of stages is common practice, no source: clay stiffens, dries through, is fired once,
glazed, fired again. A finish without glaze ends after the first firing.
"""

from enum import StrEnum

ORDER = (
    "wet",
    "leather_hard",
    "bone_dry",
    "bisque_fired",
    "glazed",
    "glaze_fired",
    "on_display",
    "collected",
)
FORWARD: dict[str, tuple[str, ...]] = {
    "wet": ("leather_hard",),
    "leather_hard": ("bone_dry",),
    "bone_dry": ("bisque_fired",),
    # Without glaze it is done here.
    "bisque_fired": ("glazed", "on_display", "collected"),
    "glazed": ("glaze_fired",),
    "glaze_fired": ("on_display", "collected"),
    "on_display": ("collected",),
    "collected": (),
}
DAMP = ("wet", "leather_hard")
"""Where a cover against the air has a purpose."""

BEFORE_BISQUE = (*DAMP, "bone_dry")

FIRED_BY_A_KILN = ("bisque_fired", "glaze_fired")
OF_STUDENTS = ("leather_hard",)


class Hindrance(StrEnum):
    """Why a step isn't taken."""

    NOT_NEXT = "not_next"
    STAFF_ONLY = "staff_only"
    BACK_NEEDS_REASON = "back_needs_reason"
    FIRED_NEEDS_REASON = "fired_needs_reason"
    NEEDS_CHECK = "needs_check"


def is_back(before: str, after: str) -> bool:
    """Whether the step undoes something."""
    return ORDER.index(after) < ORDER.index(before)


def hindrance(
    before: str, after: str, *, staff: bool, checked: bool, reasoned: bool
) -> Hindrance | None:
    """What stands against the step, None where nothing does.

    `checked`: a greenware check stands. `reasoned`: a reason is given; a fired stage needs one
    that says which kiln it came from, or why it is set by hand. Raises `ValueError` for a word
    that is no stage.
    """
    back = is_back(before, after)
    if not back and after not in FORWARD[before]:
        return Hindrance.NOT_NEXT
    if not staff and (back or after not in OF_STUDENTS):
        return Hindrance.STAFF_ONLY
    if after == "bone_dry" and not back and not checked:
        return Hindrance.NEEDS_CHECK
    if reasoned:
        return None
    if back:
        return Hindrance.BACK_NEEDS_REASON
    return Hindrance.FIRED_NEEDS_REASON if after in FIRED_BY_A_KILN else None


def offered(before: str, *, staff: bool, checked: bool) -> tuple[str, ...]:
    """The stages that a pot may come to now, with a reason where one is needed."""
    return tuple(
        after
        for after in FORWARD[before]
        if hindrance(before, after, staff=staff, checked=checked, reasoned=True) is None
    )
