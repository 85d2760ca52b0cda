"""Kilns and their furniture, as a tape measure and the maker's sheet say."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

from django.db import transaction
from django.utils.translation import gettext as _

from studio.errors import Problem, Refused
from studio.people.audit import record
from studio.people.models import Studio, User
from studio.people.names import tidy
from studio.people.services.checking import check_fields, locked_studio
from studio.room.models import Kiln, PostSet, ShelfShape

from .checking import check_name_free, differences, require_staff

LENGTHS = (
    "shelf_width_mm",
    "shelf_depth_mm",
    "shelf_thickness_mm",
    "usable_height_mm",
    "headroom_mm",
    "clearance_mm",
)
HOURS = ("start_from", "start_until", "off_from", "off_until")
ENERGY = ("power_kw", "lining_mm", "price_per_kwh", "currency")
PLAIN = (
    "name",
    "shelf_shape",
    *LENGTHS,
    "shelves",
    "half_shelves",
    "most_c",
    "unload_below_c",
    "cooling_h",
    *ENERGY,
    *HOURS,
    "note",
)
EDITABLE = (*PLAIN, "confirms_shut_off", "not_together_with", "posts")
MOST_POSTS = 12
ONE_MEASURE = {ShelfShape.ROUND, ShelfShape.OCTAGON}


class Posts(NamedTuple):
    """So many sets of posts of one height; a set carries one shelf."""

    height_mm: float
    sets: int


def add_kiln(*, studio: Studio, by: User, kiln: Mapping[str, Any]) -> Kiln:
    """A kiln; `kiln` has a value for each name of `EDITABLE`, those with a default and
    `not_together_with` (kilns) and `posts` (`Posts`) may be left out.
    """
    require_staff(by, studio)
    made = Kiln(studio=studio)
    _set(made, kiln)
    with transaction.atomic():
        locked_studio(studio)
        posts = _checked_posts(kiln.get("posts", ()))
        others = list(kiln.get("not_together_with", ()))
        _check(made, others)
        made.save(force_insert=True)
        _write(made, posts, others)
        _record(made, by, "kiln added", {}, _shown(made))
    return made


def edit_kiln(*, kiln: Kiln, by: User, values: Mapping[str, Any]) -> Kiln:
    """Other measures or hours; whatever is left out stays as it is."""
    require_staff(by, kiln.studio)
    with transaction.atomic():
        kept = locked_kiln(kiln)
        before = _shown(kept)
        posts = _checked_posts(values["posts"]) if "posts" in values else None
        others = list(values["not_together_with"]) if "not_together_with" in values else None
        _set(kept, values)
        _check(kept, others or [])
        kept.save()
        _write(kept, posts, others)
        was, now = differences(before, _shown(kept))
        if now:
            _record(kept, by, "kiln edited", was, now)
    return kept


def retire_kiln(*, kiln: Kiln, by: User) -> Kiln:
    """No longer fired; what it fired stays on record."""
    return _set_retired(kiln, by, retired=True)


def bring_back_kiln(*, kiln: Kiln, by: User) -> Kiln:
    """Fired again."""
    return _set_retired(kiln, by, retired=False)


def locked_kilns(studio: Studio) -> list[Kiln]:
    """The studio's kilns, held until the transaction ends: whoever plans a firing or changes a
    kiln waits here, since any firing may stand in the way of another.
    """
    kilns = Kiln.objects.select_for_update(of=("self",)).filter(studio=studio)
    return list(kilns.order_by("pk"))


def locked_kiln(kiln: Kiln) -> Kiln:
    """As it is now, held until the transaction ends: the studio before its kilns."""
    locked_studio(kiln.studio)
    locked_kilns(kiln.studio)
    return Kiln.objects.select_related("studio", "confirms_shut_off").get(pk=kiln.pk)


def _set(kiln: Kiln, values: Mapping[str, Any]) -> None:
    if values.get("cooling_h", kiln.cooling_h) != kiln.cooling_h:
        # Typed by hand, it is no longer what the log said.
        kiln.cooling_firings, kiln.cooling_before_h = 0, None
    for name in PLAIN:
        if name in values:
            value = values[name]
            if name in (*LENGTHS, "lining_mm") and value is not None:
                value = round(value)
            setattr(kiln, name, tidy(value) if isinstance(value, str) else value)
    if "confirms_shut_off" in values:
        kiln.confirms_shut_off = values["confirms_shut_off"]
    if kiln.shelf_shape in ONE_MEASURE:
        kiln.shelf_depth_mm = kiln.shelf_width_mm


def _check(kiln: Kiln, others: Sequence[Kiln]) -> None:
    check_fields(kiln)
    check_confirms(kiln.confirms_shut_off, kiln.studio)
    message = _("The studio has a kiln of this name already.")
    check_name_free(kiln, Kiln.objects.filter(studio=kiln.studio), message)
    if any(each.studio_id != kiln.studio_id or each.pk == kiln.pk for each in others):
        message = _("Choose among the studio's other kilns.")
        raise Refused(message, field="not_together_with")


def check_confirms(person: User, studio: Studio) -> None:
    """Who confirms a shut-off is staff of the studio and still there."""
    if not (person.is_staff and person.is_active and person.studio_id == studio.pk):
        message = _("Choose somebody of the studio's staff who stands at the kiln then.")
        raise Refused(message, field="confirms_shut_off")


def _checked_posts(rows: Iterable[Posts]) -> list[PostSet]:
    """Posts as rows without a kiln yet. Raises `Refused` at the row's field."""
    posts = [PostSet(height_mm=round(each.height_mm), sets=each.sets) for each in rows]
    if len(posts) > MOST_POSTS:
        message = _("Give at most %(most)s heights of posts.") % {"most": MOST_POSTS}
        raise Refused(message, field="posts")
    problems = []
    for place, each in enumerate(posts):
        try:
            check_fields(each, but=("kiln",))
        except Refused as refusal:
            problems += [Problem(p.message, f"posts.{place}.{p.field}") for p in refusal.problems]
        if each.height_mm in {before.height_mm for before in posts[:place]}:
            message = _("This height stands above already. Add the sets together.")
            problems.append(Problem(message, f"posts.{place}.height_mm"))
    if problems:
        raise Refused.all_of(problems)
    return posts


def _write(kiln: Kiln, posts: list[PostSet] | None, others: list[Kiln] | None) -> None:
    if posts is not None:
        kiln.posts.all().delete()
        for each in posts:
            each.kiln = kiln
        PostSet.objects.bulk_create(posts)
    if others is not None:
        kiln.not_together_with.set(others)


def _set_retired(kiln: Kiln, by: User, *, retired: bool) -> Kiln:
    require_staff(by, kiln.studio)
    with transaction.atomic():
        kept = locked_kiln(kiln)
        if kept.retired != retired:
            kept.retired = retired
            kept.save(update_fields=["retired"])
            _record(kept, by, "kiln retired" if retired else "kiln brought back", {}, {})
    return kept


def _shown(kiln: Kiln) -> dict[str, Any]:
    """For the audit line: names of people and kilns as their ids."""
    values = {name: getattr(kiln, name) for name in PLAIN}
    values |= {name: values[name].isoformat("minutes") for name in HOURS}
    return values | {
        "confirms_shut_off": str(kiln.confirms_shut_off_id),
        "not_together_with": sorted(
            str(pk) for pk in kiln.not_together_with.values_list("pk", flat=True)
        ),
        "posts": [str(each) for each in kiln.posts.all()],
    }


def _record(
    kiln: Kiln, by: User, action: str, before: dict[str, Any], after: dict[str, Any]
) -> None:
    record(studio=kiln.studio, by=by, action=action, subject=kiln, before=before, after=after)
