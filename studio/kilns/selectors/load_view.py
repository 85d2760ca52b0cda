"""What the page of a load shows, in a fixed number of queries."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from studio.kilns.heat.advice import Falls, Ware, load_cautions
from studio.kilns.models import Firing, Placement, Slot
from studio.kilns.wording import caution_sentence
from studio.people.models import Section, User
from studio.room.cones import heat_of
from studio.ware.models import GreenwareCheck
from studio.ware.selectors import photos_missing
from studio.ware.selectors.drying import thickest_pots

from .heat_in_kiln import cone_said
from .loads import PART_FULL, Contents, contents, share_filled, shelf_area_mm2, troubles
from .maps import DrawnLayer, drawn_layers, surface_of
from .nesting import nest_cautions
from .programs import ROOM_C, firing_of, heat_segments
from .results import firing_result
from .waiting import Waiting, by_class, waiting_for

FILL_MOST = 120


@dataclass(frozen=True)
class LoadView:
    layers: list[DrawnLayer]
    surface: str
    placements: tuple[Placement, ...]
    share_pct: int
    part_full: bool
    troubles: list[str]
    """What is wrong with the load as it stands."""
    cautions: list[str]
    """What these pots make of the program."""
    nest: list[str]
    """What to look at by hand where pots stand in or on each other."""
    may_nest: bool
    thickest: list[GreenwareCheck]
    """Of a bisque that isn't lit: what dries last, as far as the person may weigh it."""
    without_photo: list[Placement]
    waiting: list[tuple[Section, list[Waiting]]]
    cone: str
    """What it reaches in this kiln, as computed."""
    result: list[str]
    """What came of it, once it is unloaded."""

    @property
    def howmany_wait(self) -> int:
        return sum(len(each) for _section, each in self.waiting)


def load_view(slot: Slot, today: date, person: User) -> LoadView:
    """`waiting` is empty once the kiln is lit."""
    load = contents(slot)
    share = share_filled(slot.kiln, load)
    is_open = slot.lit_at is None and slot.cancelled_at is None
    dries = is_open and slot.program.firing == Firing.BISQUE
    photos = photos_missing(load.pots) if is_open else {}
    return LoadView(
        layers=drawn_layers(slot.kiln, load),
        surface=surface_of(slot.program.firing),
        placements=load.placements,
        share_pct=round(100 * share),
        part_full=share < PART_FULL,
        troubles=troubles(slot.kiln, load, slot.studio),
        cautions=ware_cautions(slot, load) if is_open else [],
        nest=nest_cautions(load) if is_open else [],
        may_nest=dries and len(load.placements) > 1,
        thickest=thickest_pots(load.pots, person) if dries else [],
        without_photo=[each for each in load.placements if each.pot_id in photos],
        waiting=by_class(waiting_for(slot, today)) if is_open else [],
        cone=cone_said(slot),
        result=firing_result(slot, load.placements),
    )


def ware_cautions(slot: Slot, load: Contents) -> list[str]:
    """What the thickest wall and the clay bodies of a load make of the slot's program: damp, too
    hot, cooled too fast past quartz inversion. One query. Glazes that the program isn't for are
    kept out before.
    """
    checks = GreenwareCheck.objects.standing().filter(pot__in=load.pots)
    rows = list(checks.values_list("thickest_mm", "pot__piece__assignment__brief__clay_body__cone"))
    if not rows:
        return []
    program = slot.program
    ware = Ware(
        thickest_mm=max(float(thick) for thick, _cone in rows),
        unfired=program.firing == Firing.BISQUE,
        body_cone=min((cone for _thick, cone in rows if cone), key=heat_of, default=None),
    )
    found = load_cautions(
        firing_of(program),
        program.start_c,
        heat_segments(program.segments),
        ware,
        Falls(slot.kiln.cooling_h, ROOM_C),
    )
    return [caution_sentence(each, slot.studio) for each in found]


def may_fill(slot: Slot, waiting: Iterable[Waiting]) -> list[Waiting]:
    """As many of those that wait, the most urgent first, as could at best stand on the kiln's
    shelves: trying all of a school's pots would keep a person waiting for nothing.
    """
    shelves = slot.kiln.shelves + slot.kiln.half_shelves / 2
    room = shelf_area_mm2(slot.kiln) * shelves - _taken_mm2(contents(slot))
    chosen: list[Waiting] = []
    for each in waiting:
        if room <= 0 or len(chosen) == FILL_MOST:
            break
        chosen.append(each)
        # Half of the box around it: less than any outline covers.
        room -= each.ready.greenware.front_mm * each.ready.greenware.depth_mm / 2
    return chosen


def of_section(waiting: Iterable[Waiting], section: UUID) -> list[Waiting]:
    return [each for each in waiting if each.section.pk == section]


def _taken_mm2(load: Contents) -> float:
    return sum(each.front_mm * each.depth_mm / 2 for each in load.pieces)
