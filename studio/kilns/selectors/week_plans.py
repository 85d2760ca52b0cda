"""Plans of a week that were asked for, as a page shows them."""

from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, NamedTuple
from uuid import UUID

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from studio.jobs.models import Job
from studio.kilns.models import Firing, Slot
from studio.kilns.weeks.reasons import WHY
from studio.kilns.wording import sentence
from studio.people.models import Studio
from studio.ware.models import Pot
from studio.ware.selectors import not_ready_reasons
from studio.ware.stages import BEFORE_BISQUE

KIND = "plan_week"


@dataclass(frozen=True)
class Proposed:
    """One firing of a plan. `late`: out after their project is due or, for a bisque, too late for a
    glaze firing by then. `drying`: not found air dry by now, nor loaded. `taken`: all that was new
    in it stands in the load by now."""

    slot: Slot
    pots: tuple[Pot, ...]
    late: tuple[Pot, ...]
    after_glaze_day: tuple[Pot, ...]
    drying: tuple[Pot, ...]
    new: int
    taken: bool

    @property
    def bisque(self) -> bool:
        return self.slot.program.firing == Firing.BISQUE


class Named(NamedTuple):
    """A kiln or a program as it was called when the plan was made."""

    pk: str
    name: str


@dataclass(frozen=True)
class Further:
    """A firing that isn't planned yet and would take pots that are left out. `at` is on the
    studio's clock, `start` its time of day as addresses carry it."""

    kiln: Named
    program: Named
    at: datetime
    start: str
    pots: tuple[Pot, ...]


@dataclass(frozen=True)
class Reason:
    """Pots that are left out for one reason, and what would fit them."""

    why: str
    fits: str
    pots: tuple[Pot, ...]


@dataclass(frozen=True)
class Part:
    """One part of what a plan is judged by: its own figure, and the two bounds."""

    name: str
    reached: int
    calibrated: int
    area_height: int


@dataclass(frozen=True)
class WeekPlan:
    """A job and what it answered once it is done. `unused`: open slots that it doesn't light."""

    job: Job
    firings: tuple[Proposed, ...] = ()
    left_out: tuple[Reason, ...] = ()
    further: tuple[Further, ...] = ()
    parts: tuple[Part, ...] = ()
    unused: tuple[Slot, ...] = ()

    @property
    def is_open(self) -> bool:
        return self.job.state in Job.OPEN

    @property
    def is_done(self) -> bool:
        return self.job.state == Job.State.DONE


def key_of(monday: date) -> str:
    return monday.isoformat()


def plans_of(studio: Studio, monday: date) -> QuerySet[Job]:
    """The newest first; kept as long as a job's result is."""
    jobs = Job.objects.filter(studio=studio, kind=KIND, unique_key=key_of(monday))
    return jobs.select_related("studio").order_by("-asked_at", "-pk")


def newest_plan(studio: Studio, monday: date) -> Job | None:
    """The last one that was done."""
    return plans_of(studio, monday).filter(state=Job.State.DONE).first()


def shown_plan(
    studio: Studio, monday: date, opened: Iterable[Slot], loaded: Mapping[str, str]
) -> WeekPlan | None:
    """The last plan that was asked for; `opened` are the week's slots that are open now, `loaded`
    what `loaded_pots` tells. Four queries."""
    job = plans_of(studio, monday).first()
    if job is None or job.state != Job.State.DONE:
        return WeekPlan(job) if job else None
    result = job.result
    named = [pk for each in result["firings"] for pk in each["pots"]]
    named += [each["pot"] for each in result["left_out"]]
    rows = Pot.objects.filter(studio=studio, pk__in=named).select_related(
        "piece__student", "piece__assignment"
    )
    pots = {str(pot.pk): pot for pot in rows}
    slots = {str(slot.pk): slot for slot in opened}
    lit = {each["slot"] for each in result["firings"]}
    for_bisque = [
        each for each in rows if each.stage in BEFORE_BISQUE and str(each.pk) not in loaded
    ]
    read = _Read(studio, slots, pots, loaded, not_ready_reasons(for_bisque, "bisque"))
    return WeekPlan(
        job,
        tuple(read.proposed(each) for each in result["firings"] if each["slot"] in slots),
        tuple(_reasons(studio, result["left_out"], pots)),
        tuple(read.further(result.get("more", ()))),
        _parts(result),
        tuple(slot for pk, slot in slots.items() if pk not in lit),
    )


@dataclass(frozen=True)
class _Read:
    """All that a kept plan names, by its id."""

    studio: Studio
    slots: Mapping[str, Slot]
    pots: Mapping[str, Pot]
    into: Mapping[str, str]
    drying: Collection[UUID]

    def proposed(self, each: Mapping[str, Any]) -> Proposed:
        slot = self.slots[each["slot"]]
        out_on = slot.unload_at.astimezone(self.studio.zone).date()
        pots = self.named(each["pots"])
        late = {pot.pk for pot in self.named(each["late"])}
        late |= {pot.pk for pot in pots if pot.piece.assignment.due_on < out_on}
        return Proposed(
            slot,
            pots,
            tuple(pot for pot in pots if pot.pk in late),
            self.named(each.get("after_glaze_day", ())),
            tuple(pot for pot in pots if pot.pk in self.drying),
            len(each["new"]),
            all(self.into.get(pk) == each["slot"] for pk in each["new"]),
        )

    def further(self, firings: Iterable[Mapping[str, Any]]) -> Iterable[Further]:
        """Those whose pots have all found another firing meanwhile are left out."""
        for each in firings:
            if pots := self.named(pk for pk in each["pots"] if pk not in self.into):
                kiln, program = Named(*each["kiln"]), Named(*each["program"])
                at = datetime.fromisoformat(each["at"]).astimezone(self.studio.zone)
                yield Further(kiln, program, at, f"{at:%H:%M}", pots)

    def named(self, ids: Iterable[str]) -> tuple[Pot, ...]:
        return tuple(self.pots[pk] for pk in ids if pk in self.pots)


def with_counts(slots: Iterable[Slot], loaded: Mapping[str, str]) -> list[tuple[Slot, int]]:
    """Each with how many pots stand in its load."""
    count = Counter(loaded.values())
    return [(slot, count[str(slot.pk)]) for slot in slots]


def _reasons(
    studio: Studio, left_out: Iterable[Mapping[str, Any]], pots: Mapping[str, Pot]
) -> Iterable[Reason]:
    found: dict[tuple[str, str], list[Pot]] = {}
    for each in left_out:
        if each["pot"] in pots:
            fits = _fits(each)
            found.setdefault((each["why"], fits), []).append(pots[each["pot"]])
    for (why, fits), those in found.items():
        yield Reason(sentence(WHY[why], {}, studio), fits, tuple(those))


def _fits(each: Mapping[str, Any]) -> str:
    """What would fit it, in a sentence; nothing where only a larger kiln would."""
    if not each["kilns"] or each["why"] == "not_now":
        return ""
    words = {"programs": _either(each["programs"]), "kilns": _either(each["kilns"])}
    if not each["programs"]:
        return _("A firing that suits it in %(kilns)s would take it.") % words
    return _("One more firing of %(programs)s in %(kilns)s would take it.") % words


def _either(names: Iterable[str]) -> str:
    return _(" or ").join(sorted(names))


def _parts(result: Mapping[str, Any]) -> tuple[Part, ...]:
    names = {
        "must_go_left": _("Pots that must go, left out"),
        "late": _("Late pots"),
        "after_glaze_day": _("Bisque out after its class's glaze day"),
        "left_out": _("Pots left out that a firing suits"),
        "firings": _("Firings"),
    }
    score, near, least = result["score"], result["calibrated"], result["area_height"]
    parts = {key: Part(name, score[key], near[key], least[key]) for key, name in names.items()}
    # What is nought all along says nothing.
    return tuple(part for key, part in parts.items() if key == "firings" or part.reached)
