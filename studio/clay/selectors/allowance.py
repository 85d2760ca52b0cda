"""What pots of a studio took, by clay body and brief, from the ledger and from the scale."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Exists, OuterRef, Subquery, Sum

from planning.models import Assignment, Brief
from studio.clay.allowance import ClassTaken, Learned, PotTaken, Record, learned, pieces_of
from studio.clay.allowance import records_of as records_of_class
from studio.clay.models import Entry, EntryKind
from studio.people.models import Studio
from studio.room.models import ClayBody
from studio.ware.models import GreenwareCheck, Pot, WeighedAs, Weighing

from .pots import OUT, TAKES_CLAY

# Clay, tools and who teaches change; what is older says little (common practice, no source).
LEARNED_FROM = timedelta(days=3 * 365)

BriefAndBody = tuple[UUID, UUID]
Row = dict[str, Any]


@dataclass
class BriefAllowance:
    """One brief with its clay body: what is set, and what its pots took."""

    brief: Brief
    body: ClayBody
    records: list[Record] = field(default_factory=list)

    @property
    def learned(self) -> Learned | None:
        return learned(self.records)

    @property
    def pieces(self) -> int:
        return pieces_of(self.records)


@dataclass
class BodyAllowance:
    """A clay body over all its briefs."""

    body: ClayBody
    briefs: list[BriefAllowance] = field(default_factory=list)

    @property
    def learned(self) -> Learned | None:
        return learned([record for each in self.briefs for record in each.records])

    @property
    def pieces(self) -> int:
        return sum(each.pieces for each in self.briefs)


def allowances(studio: Studio, *, today: date) -> list[BodyAllowance]:
    """Every body that a brief names or named, by name, with its briefs by title. Seven queries."""
    records = learned_records(studio, today=today)
    briefs = {brief.pk: brief for brief in Brief.objects.filter(studio=studio)}
    bodies = {body.pk: body for body in ClayBody.objects.filter(studio=studio)}
    wanted = set(records) | {
        (brief.pk, brief.clay_body_id) for brief in briefs.values() if not brief.archived
    }
    found: dict[UUID, BodyAllowance] = {}
    for brief_pk, body_pk in wanted:
        of_body = found.setdefault(body_pk, BodyAllowance(bodies[body_pk]))
        row = BriefAllowance(briefs[brief_pk], bodies[body_pk], records[brief_pk, body_pk])
        of_body.briefs.append(row)
    for each in found.values():
        each.briefs.sort(key=lambda row: (row.brief.title, str(row.brief.pk)))
    return sorted(found.values(), key=lambda each: (each.body.name, str(each.body.pk)))


def allowance_of(brief: Brief, *, today: date) -> tuple[BriefAllowance, BodyAllowance]:
    """The brief with the body that it names now, and that body over all briefs. Seven queries."""
    for of_body in allowances(brief.studio, today=today):
        for row in of_body.briefs:
            if row.brief.pk == brief.pk and row.body.pk == brief.clay_body_id:
                return row, of_body
    # A brief that was put away before anything was learned.
    return BriefAllowance(brief, brief.clay_body), BodyAllowance(brief.clay_body)


def learned_records(studio: Studio, *, today: date) -> dict[BriefAndBody, list[Record]]:
    """By brief and clay body what is known of pieces. Five queries, however many there are."""
    assignments = _assignments(studio, today - LEARNED_FROM)
    by_class = _of_classes(studio, assignments)
    records: dict[BriefAndBody, list[Record]] = defaultdict(list)
    for pk, each in assignments.items():
        records[each["brief"], each["clay_body"]] += records_of_class(by_class[pk].taken())
    return records


@dataclass
class _Class:
    """What is summed up for one assignment."""

    pots: list[PotTaken] = field(default_factory=list)
    unbuilt: int = 0
    given_g: float = 0
    bucket_g: float = 0
    mixed_g: float = 0

    def taken(self) -> ClassTaken:
        return ClassTaken(
            self.pots, self.unbuilt, self.given_g, self.bucket_g, mixed=self.mixed_g > 0
        )


def _assignments(studio: Studio, since: date) -> dict[UUID, Row]:
    rows = (
        Assignment.objects.filter(section__studio=studio, given_on__gte=since)
        .order_by("given_on", "pk")
        .values("pk", "brief", "clay_body", "section", "given_on")
    )
    return {row["pk"]: dict(row) for row in rows}


def _of_classes(studio: Studio, assignments: dict[UUID, Row]) -> defaultdict[UUID, _Class]:
    found: defaultdict[UUID, _Class] = defaultdict(_Class)
    moved = {
        row["pot"]: (-(row["out_g"] or 0), row["all_g"])
        for row in Entry.objects.filter(pot__studio=studio)
        .order_by()
        .values("pot")
        .annotate(out_g=Sum("grams", filter=OUT), all_g=Sum("grams"))
    }
    for row in _pots(studio, assignments):
        out_g, all_g = moved.get(row["pk"], (0, 0))
        here = found[row["piece__assignment"]]
        if row["lost"]:
            here.given_g -= all_g
        elif row["weighed_g"] is not None or row["checked"] or row["stage"] not in TAKES_CLAY:
            here.pots.append(
                PotTaken(
                    planned_g=row["plan__pot_wet_g"] or 0.0,
                    out_g=out_g,
                    back_g=all_g + out_g,
                    weighed_g=row["weighed_g"],
                )
            )
        elif out_g > 0:
            here.unbuilt += 1
    of_section = defaultdict(list)
    for each in assignments.values():
        of_section[each["section"]].append(each)
    for entry in _of_sections(studio):
        pk = _assignment_of(entry, of_section[entry["section"]], studio.zone)
        if pk is not None:
            _add(found[pk], entry)
    return found


def _pots(studio: Studio, assignments: Iterable[UUID]) -> Iterable[Any]:
    weighings = Weighing.objects.filter(pot=OuterRef("pk"), weighed_as=WeighedAs.BUILT)
    checks = GreenwareCheck.objects.standing().filter(pot=OuterRef("pk"))
    return (
        Pot.objects.filter(studio=studio, piece__assignment__in=list(assignments))
        .order_by()
        .annotate(
            weighed_g=Subquery(weighings.order_by("-at", "-pk").values("grams")[:1]),
            checked=Exists(checks),
        )
        .values(
            "pk", "piece__assignment", "lost", "stage", "plan__pot_wet_g", "weighed_g", "checked"
        )
    )


def _of_sections(studio: Studio) -> Iterable[Any]:
    """What went to classes as a whole and came back in their buckets."""
    return (
        Entry.objects.filter(studio=studio, section__isnull=False)
        .order_by()
        .values("section", "lot__body", "lot__mixed", "at", "grams", "kind", "reverses__kind")
    )


def _assignment_of(entry: Row, assignments: Iterable[Row], zone: ZoneInfo) -> UUID | None:
    """The newest one of the class that builds with this clay and was given by then. A mixed
    bucket belongs to the newest one whatever it builds with.
    """
    on = entry["at"].astimezone(zone).date()
    fitting = [
        each["pk"]
        for each in assignments
        if each["given_on"] <= on
        and (entry["lot__mixed"] or each["clay_body"] == entry["lot__body"])
    ]
    return fitting[-1] if fitting else None


def _add(here: _Class, entry: Row) -> None:
    went_out = EntryKind.ISSUE in (entry["kind"], entry["reverses__kind"])
    if entry["lot__mixed"]:
        # Practice with mixed clay is no pot's; what came back mixed hides how much of this body.
        here.mixed_g += 0 if went_out else entry["grams"]
    elif went_out:
        here.given_g -= entry["grams"]
    else:
        here.bucket_g += entry["grams"]
