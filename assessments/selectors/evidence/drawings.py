"""Beside exploration: what was drawn, when, from what, and when the choice was made."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import (
    CharField,
    F,
    FloatField,
    IntegerField,
    QuerySet,
    TextField,
    Value,
)
from django.db.models.functions import Cast
from django.utils.translation import gettext as _

from planning.exploration.gate import Counts
from planning.models import Choice, Piece, PlanVersion, Refinement, Thumbnail
from planning.models.steps import Way
from planning.selectors.gate import counts_asked
from planning.selectors.steps import plan_to_compare, since_chosen
from studio.uploads.models import StoredImage
from studio.web.shown import day_text, number_text

from .by_choice import ByChoice, by_choice
from .seen import (
    Evidence,
    Picture,
    days_in_words,
    how_many_refinements,
    how_many_source_forms,
    how_many_thumbnails,
    ideas_by_then,
    local_day,
    short_day,
)
from .steps import steps_in_words

_IDEAS = ("distinct", "low", "high")


@dataclass(frozen=True)
class _Drawn:
    pk: UUID
    at: datetime
    source_form: str


@dataclass(frozen=True)
class _Chosen:
    thumbnail: UUID
    at: datetime
    replaced: bool
    reason: str
    ideas: tuple[float, float, float] | None
    """About how many, from and to, by then."""
    thumbnails: int | None
    """How many stood by then."""


@dataclass
class _Path:
    """What one piece's exploring left, in order of time."""

    thumbnails: list[_Drawn] = field(default_factory=list)
    refinements: list[_Drawn] = field(default_factory=list)
    choices: list[_Chosen] = field(default_factory=list)

    @property
    def refinements_since(self) -> list[_Drawn]:
        """Those of the choice that holds; before it those of another drawing may stand."""
        if not self.choices:
            return []
        since = since_chosen([(each.thumbnail, each.at) for each in self.choices])
        return [each for each in self.refinements if each.at >= since]

    @property
    def numbers(self) -> dict[UUID, int]:
        """By which sentences and captions call a drawing: its place in time among the thumbnails,
        or among the refinements since the choice."""
        rows = (self.thumbnails, self.refinements_since)
        return {each.pk: n for row in rows for n, each in enumerate(row, 1)}


@dataclass(frozen=True)
class Explored:
    """What stands beside exploration, and what a level may be suggested by, where it can be."""

    evidence: Evidence
    by_choice: ByChoice | None


def exploration_evidence(piece: Piece, sent: Sequence[PlanVersion]) -> Evidence:
    """Of one piece; see `explored`."""
    return explored([piece], {piece.pk: sent})[piece.pk].evidence


def explored(
    pieces: Sequence[Piece], sent: Mapping[UUID, Sequence[PlanVersion]]
) -> dict[UUID, Explored]:
    """By piece, whose ideas and steps are loaded; `sent` are its plans but drafts. Two queries."""
    paths, asked = _paths([piece.pk for piece in pieces]), counts_asked(pieces)
    return {
        piece.pk: _explored(
            paths[piece.pk], asked[piece.pk], piece, plan_to_compare(sent.get(piece.pk, ()))
        )
        for piece in pieces
    }


def _explored(path: _Path, asked: Counts, piece: Piece, plan: PlanVersion | None) -> Explored:
    counted = piece.assignment.ideas_counted
    steps = _steps(path, piece, plan) if counted else []
    evidence = _evidence(path, asked, piece.studio.zone, steps, counted=counted)
    if not counted or not path.choices:
        return Explored(evidence, None)
    first = path.choices[0]
    before = [(str(e.pk), e.source_form) for e in path.thumbnails if e.at <= first.at]
    return Explored(
        evidence,
        by_choice(
            asked=asked,
            before=before,
            after=len(before) < len(path.thumbnails),
            kept=first.thumbnails,
            high=first.ideas[2] if first.ideas else None,
            ideas=getattr(piece, "ideas", None),
        ),
    )


def _steps(path: _Path, piece: Piece, plan: PlanVersion | None) -> list[str]:
    if not path.choices:
        return []
    way = Way(
        chosen=str(path.choices[-1].thumbnail),
        refinements=[str(each.pk) for each in path.refinements_since],
        thumbnails={str(each.pk) for each in path.thumbnails},
        plan=str(plan.pk) if plan is not None else "",
    )
    numbers = path.numbers
    names = {
        str(each.pk): _("thumbnail %(n)s") % {"n": number_text(numbers[each.pk])}
        for each in path.thumbnails
    }
    names |= {
        str(each.pk): _("refinement %(n)s") % {"n": number_text(numbers[each.pk])}
        for each in path.refinements_since
    }
    names[way.chosen] = _("the chosen drawing")
    steps = getattr(piece, "steps", None)
    return steps_in_words(steps, way, names, plan.state if plan is not None else "")


def _paths(pieces: list[UUID]) -> dict[UUID, _Path]:
    rows = _rows("thumbnail", Thumbnail, pieces).union(
        _rows("refinement", Refinement, pieces), _choice_rows(pieces), all=True
    )
    found: dict[UUID, _Path] = defaultdict(_Path)
    # Of drawings of one moment, the order that the student gave them; the choice that holds last.
    listed: list[tuple[Any, ...]] = sorted(
        rows, key=lambda row: (row[3], row[5] is None, row[6] or 0, str(row[2]))
    )
    for kind, piece, pk, at, text, replaced, place, *ideas in listed:
        if kind == "choice":
            known = None if None in ideas else (ideas[0], ideas[1], ideas[2])
            found[piece].choices.append(_Chosen(pk, at, replaced is not None, text, known, place))
        else:
            drawn = _Drawn(pk, at, text or "")
            path = found[piece]
            (path.thumbnails if kind == "thumbnail" else path.refinements).append(drawn)
    return found


def _rows(
    kind: str, model: type[Thumbnail] | type[Refinement], pieces: list[UUID]
) -> "QuerySet[Any, Any]":
    ready = model.objects.standing().filter(piece__in=pieces, image__state=StoredImage.State.READY)
    form: Any = F("source_form__name") if model is Thumbnail else Value("")
    place: Any = F("position") if model is Thumbnail else Value(0)
    return (  # type: ignore[no-any-return]
        ready.order_by()
        .annotate(
            kind=Value(kind, CharField()),
            text=Cast(form, TextField()),
            ended=F("withdrawn_at"),
            place=Cast(place, IntegerField()),
            **{name: Value(0.0, FloatField()) for name in _IDEAS},
        )
        .values_list("kind", "piece", "pk", "added_at", "text", "ended", "place", *_IDEAS)
    )


def _choice_rows(pieces: list[UUID]) -> "QuerySet[Any, Any]":
    return (
        Choice.objects.filter(piece__in=pieces)
        .order_by()
        .annotate(kind=Value("choice", CharField()), place=Cast("thumbnail_count", IntegerField()))
        .values_list("kind", "piece", "thumbnail", "at", "reason", "replaced_at", "place", *_IDEAS)
    )


def _evidence(
    path: _Path, asked: Counts, zone: ZoneInfo, steps: Sequence[str], *, counted: bool
) -> Evidence:
    chosen = _chosen(path, zone, counted=counted)
    said = [_drawn(path, asked, zone), *chosen, _refined(path, asked, zone), *steps]
    numbers = path.numbers
    holds = next((each.thumbnail for each in path.choices if not each.replaced), None)
    thumbnails = [
        (
            each.at,
            Picture(
                "thumbnail",
                str(each.pk),
                _caption(each, numbers[each.pk], zone),
                each.pk == holds,
            ),
        )
        for each in path.thumbnails
    ]
    refinements = [
        (
            each.at,
            Picture(
                "refinement",
                str(each.pk),
                _refinement_caption(each, numbers.get(each.pk), zone),
            ),
        )
        for each in path.refinements
    ]
    in_time = sorted([*thumbnails, *refinements], key=lambda each: each[0])
    return Evidence(tuple(filter(None, said)), tuple(picture for _at, picture in in_time))


def _refinement_caption(drawn: _Drawn, number: int | None, zone: ZoneInfo) -> str:
    words = {"day": short_day(drawn.at, zone)}
    if number is None:
        return _("refinement, %(day)s") % words
    return _("refinement %(n)s, %(day)s") % (words | {"n": number_text(number)})


def _caption(drawn: _Drawn, number: int, zone: ZoneInfo) -> str:
    day = short_day(drawn.at, zone)
    said = f"{drawn.source_form}, {day}" if drawn.source_form else day
    return f"{number_text(number)} · {said}"


def _day(at: datetime, zone: ZoneInfo) -> str:
    return day_text(local_day(at, zone))


def _drawn(path: _Path, asked: Counts, zone: ZoneInfo) -> str:
    if not path.thumbnails:
        return _("No thumbnail stands.")
    forms = {each.source_form for each in path.thumbnails} - {""}
    words = {
        "thumbnails": how_many_thumbnails(len(path.thumbnails)),
        "asked": asked.thumbnails,
        "forms": how_many_source_forms(len(forms)),
        "asked_forms": asked.source_forms,
        "days": days_in_words(local_day(each.at, zone) for each in path.thumbnails),
    }
    return (
        _(
            "%(thumbnails)s (%(asked)s asked) from %(forms)s (%(asked_forms)s asked). "
            "Drawn: %(days)s."
        )
        % words
    )


def _chosen(path: _Path, zone: ZoneInfo, *, counted: bool) -> list[str]:
    """When the choice was made, counted from the first one: that was the commitment."""
    if not path.choices:
        return [_("No design was chosen.")]
    first, holds = path.choices[0], path.choices[-1]
    before = sum(1 for each in path.thumbnails if each.at <= first.at)
    words = {"day": _day(first.at, zone), "thumbnails": how_many_thumbnails(before)}
    said = [_("Chosen on %(day)s, after %(thumbnails)s.") % words]
    if counted and first.ideas:
        said.append(ideas_by_then(*first.ideas))
    order = [each.pk for each in path.thumbnails]
    if holds.thumbnail in order:
        place = {"place": order.index(holds.thumbnail) + 1, "all": len(order)}
        text = _("The chosen one is number %(place)s of %(all)s in order of time.")
        if place["place"] == 1:
            text = _("The chosen one is the first drawing of %(all)s.")
        said.append(text % place)
    if later := len(path.thumbnails) - before:
        text = _("%(thumbnails)s after the choice.")
        said.append(text % {"thumbnails": how_many_thumbnails(later)})
    if len(path.choices) > 1:
        said.append(_("The choice was changed on %(day)s.") % {"day": _day(holds.at, zone)})
    said.append(_("The student's reason: %(reason)s") % {"reason": holds.reason})
    return said


def _refined(path: _Path, asked: Counts, zone: ZoneInfo) -> str:
    if not path.choices or not (path.refinements or asked.refinements):
        return ""
    words = {
        "refinements": how_many_refinements(len(path.refinements)),
        "asked": asked.refinements,
    }
    if not path.refinements:
        return _("No refinement after it (%(asked)s asked).") % words
    words["days"] = days_in_words(local_day(each.at, zone) for each in path.refinements)
    return _("%(refinements)s after it (%(asked)s asked). Drawn: %(days)s.") % words
