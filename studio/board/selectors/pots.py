"""Where the pot of one piece is on the path: built, dried, fired."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from planning.models import Piece
from planning.rows.choices import Lesson
from planning.selectors.lessons import building_lessons
from planning.selectors.progress import Progress
from studio.clay.selectors.pots import PotClay, clay_of
from studio.kilns.selectors.expected import expected_out, with_loads
from studio.ware.models import Occasion, Pot, Stage
from studio.ware.selectors import looks_of, photos_missing, pots_and_built
from studio.ware.stages import BEFORE_BISQUE
from studio.ware.wording import standing_words


@dataclass(frozen=True)
class PotOnPath:
    """The pot of a piece as its path shows it. `now` is the step that is open: build, dry, fire,
    or done; what is before that is behind the pot."""

    pot: Pot
    built: bool
    look: str
    standing: str
    photo_asked: Occasion | None
    clay: PotClay | None
    expected: str
    """When it comes out of the kiln, in a sentence; empty while it is in no load."""

    @property
    def now(self) -> str:
        if self.pot.lost or not self.built:
            return "build"
        if self.pot.stage in BEFORE_BISQUE:
            return "dry"
        if self.pot.stage in {Stage.BISQUE_FIRED, Stage.GLAZED}:
            return "fire"
        return "done"


def pot_on_path(piece: Piece, at: datetime, today: date) -> PotOnPath | None:
    """At most three queries; one where there is no pot yet."""
    found = pots_and_built([piece], with_loads(Pot.objects.all()))
    pot = found.pots.get(piece.pk)
    if pot is None:
        return None
    return PotOnPath(
        pot=pot,
        built=pot.pk in found.built_pots,
        look=looks_of([pot])[pot.pk],
        standing=standing_words(pot, today),
        photo_asked=photos_missing([pot]).get(pot.pk),
        clay=clay_of([pot]).get(pot.pk),
        expected=expected_out(pot, at),
    )


def building_from(pot: Pot | None, zone: ZoneInfo, today: date) -> date:
    """From when on rows are laid over lessons: since the pot was begun; a plan's from tomorrow."""
    return today + timedelta(days=1) if pot is None else pot.begun_at.astimezone(zone).date()


def lessons_on_path(piece: Piece, on_path: PotOnPath | None, today: date) -> tuple[Lesson, ...]:
    """Those over which a print of the plan lays its rows; none once the pot is built."""
    pot = None
    if on_path is not None and not on_path.pot.lost:
        if on_path.built:
            return ()
        pot = on_path.pot
    return building_lessons(piece, building_from(pot, piece.studio.zone, today))


def step_now(progress: Progress, on_path: PotOnPath | None, *, shut: bool) -> str:
    """The open step of the whole path; a plan that waits again goes before its pot."""
    step = progress.next_step(shut=shut)
    return on_path.now if step == "build" and on_path is not None else step
