"""The bench card: what a student reads at arm's length while building, with room to tick."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from planning.geometry.foot import BaseOutline
from planning.rows.rows import RowList
from studio.paper.blocks import Caution, Drawing, Paragraph, heading, placed
from studio.paper.codes import qr
from studio.paper.flow import Flow
from studio.paper.pages import Align, Face, Mark, Page, Sheet, Words
from studio.paper.tables import Column, Table, Tick
from studio.units.scales import Units
from studio.web.shown import length_text, mass_text

from .bench_rows import BenchRows
from .seam_clock import HIGH_MM, seam_clock

TWO_PEOPLE_G = 10_000.0
"""From here on two lift a pot: what the British HSE's guide INDG143 names for one woman with her
arms stretched out at elbow height (from memory); students carry less."""

MARGIN_MM = 10.0
_QR_MM, _CLOCK_MM = 34.0, 88.0
_PT = 12.5


@dataclass(frozen=True)
class BenchPaper:
    """`whose` is first name and initial with the class, `notes` what the plan says of its rows,
    `ring` what is said of a foot ring, `address` what the code to scan opens; lengths in
    millimetres, masses in grams."""

    code: str
    whose: str
    state: str
    footer: str
    address: str
    listed: RowList
    outline: BaseOutline
    round: bool
    base_mm: float
    corner_coil_mm: float
    pot_wet_g: float
    issue_g: float
    tolerance: tuple[float, float]
    notes: Sequence[str] = ()
    ring: Sequence[str] = ()


def bench_card_sheets(paper: BenchPaper, page: Page, units: Units) -> list[Sheet]:
    flow = Flow(
        page,
        title=paper.code,
        subtitle=f"{paper.whose} · {paper.state}",
        footer=paper.footer,
        margin_mm=MARGIN_MM,
    )
    flow.add(Drawing(HIGH_MM, lambda x, y: _top(paper, units, x, y, flow.room_mm), after_mm=3.0))
    flow.add(
        Paragraph(
            _(
                "At every grey line: stop, measure, write it in. Keep the edge damp; score and "
                "slip it before the next row."
            ),
            11.5,
            after_mm=1.0,
        )
    )
    flow.add(BenchRows(paper.listed, units, depth=not paper.round))
    flow.add(heading(_("Checks")), _checks(paper, units))
    if paper.notes:
        flow.add(heading(_("Mind")), *(Paragraph(note, _PT, after_mm=2.0) for note in paper.notes))
    flow.add(_caution(paper, units))
    return flow.sheets()


def _top(paper: BenchPaper, units: Units, x_mm: float, y_mm: float, room_mm: float) -> list[Mark]:
    """What holds for every row at the left, the seam clock, the code to scan."""
    right = x_mm + room_mm
    middle = right - _QR_MM - 4.0 - _CLOCK_MM / 2
    marks: list[Mark] = [
        *seam_clock(paper.outline, paper.listed.rows, middle, y_mm + (HIGH_MM - 4.0) / 2),
        Words(
            middle,
            y_mm + HIGH_MM - 1.5,
            _("Seen from above: at which hour each row’s seam lies"),
            9,
            align=Align.CENTRE,
        ),
        qr(paper.address, x_mm=right - _QR_MM, y_mm=y_mm, side_mm=_QR_MM),
        Words(right - _QR_MM / 2, y_mm + _QR_MM + 2.0, _("Your pot’s page"), 9, align=Align.CENTRE),
    ]
    at = y_mm
    for said, size_pt, face in _facts(paper, units):
        words, at = placed(
            Paragraph(said, size_pt, face), x_mm, at, room_mm - _QR_MM - _CLOCK_MM - 8.0
        )
        marks += words
        at += 1.5
    return marks


def _facts(paper: BenchPaper, units: Units) -> list[tuple[str, float, Face]]:
    listed = paper.listed
    coil = _("Coil %(thick)s thick") % {"thick": length_text(listed.coil_mm, units)}
    rows = _("%(count)s rows, rim at %(height)s") % {
        "count": len(listed.rows),
        "height": length_text(listed.rows[-1].height_mm, units),
    }
    wall = _("Slab %(slab)s, wall %(wall)s") % {
        "slab": length_text(paper.base_mm, units),
        "wall": length_text(listed.wall_mm, units),
    }
    clay = _("Clay about %(mass)s") % {"mass": mass_text(paper.issue_g, units)}
    scarf = _("Cut both ends of a coil slanting, %(length)s long; coil lengths count them.") % {
        "length": length_text(listed.scarf_mm, units)
    }
    return [
        (coil, 15.0, Face.BOLD),
        (rows, _PT, Face.TEXT),
        (wall, _PT, Face.TEXT),
        (clay, _PT, Face.TEXT),
        (scarf, 10.5, Face.TEXT),
    ]


def _checks(paper: BenchPaper, units: Units) -> Table:
    """To tick, in the order in which they come."""
    mm, pct = paper.tolerance
    said = [
        _("Before row 1: %(code)s, your initials and your class are scratched into the underside.")
        % {"code": paper.code},
    ]
    if paper.corner_coil_mm > 0:
        said.append(
            _(
                "Before row 2: a coil of %(thick)s is worked into the joint of slab and wall, "
                "inside."
            )
            % {"thick": length_text(paper.corner_coil_mm, units)}
        )
    said += [
        _(
            "At every grey line: height and width. Within %(length)s, or %(pct)s %% of the "
            "width where that is more, is right. Only the soft rows at the top count."
        )
        % {"length": length_text(mm, units), "pct": f"{pct:g}"},
        _(
            "At every grey line: turned once round and looked at from each side, at the height of "
            "the eye."
        ),
        _("At the rim: blended inside and out to the last row, the edge as you designed it."),
        *paper.ring,
    ]
    columns = [Column("", 5.0), Column("", size_pt=_PT)]
    return Table(columns, [[Tick(), each] for each in said])


def _caution(paper: BenchPaper, units: Units) -> Caution:
    sentences = [
        _("Clay dust: wipe up with a wet sponge. Never sweep, sand or scrape dry clay."),
    ]
    if paper.pot_wet_g >= TWO_PEOPLE_G:
        sentences.append(
            _("The pot weighs about %(mass)s wet: lift it with two people, on its board.")
            % {"mass": mass_text(paper.pot_wet_g, units)}
        )
    else:
        sentences.append(_("Carry the pot on its board with both hands, close to the body."))
    sentences.append(_("Local rules and the school’s own come first."))
    return Caution(_("Dust and lifting"), sentences, size_pt=11.0)
