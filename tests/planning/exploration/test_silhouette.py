"""Pictures of drawings whose true outline is known."""

from contextlib import suppress
from dataclasses import replace

import cv2
import numpy as np
import pytest

from planning.exploration import fitted
from planning.exploration.paper import WORKING_PX
from planning.exploration.poses import poses_of
from planning.exploration.reasons import MESSAGES, NoForm
from planning.exploration.silhouette import form_in
from planning.exploration.similarity import compared, likeness
from tests.planning.exploration.drawn import PAPERS, TOOLS, Way, drawn, on_paper, taken
from tests.planning.exploration.ideas import UNSEEN, Array, filled, idea, redrawn
from tests.study.outside import sketchbooks


def overlap(form: Array, outline: Array) -> float:
    """Intersection over union, both as large as their boxes."""
    true = filled(outline)
    boxes = []
    for mask in (form, true):
        x, y, width, height = cv2.boundingRect(mask)
        box = cv2.resize(mask[y : y + height, x : x + width], (200, 200))
        boxes.append(box > 127)
    return float((boxes[0] & boxes[1]).sum() / (boxes[0] | boxes[1]).sum())


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("tool", TOOLS)
def test_a_drawing_is_read_with_any_tool_on_any_paper(tool: str, paper: str) -> None:
    rng = np.random.default_rng(3)
    outline = idea(200_011, UNSEEN)
    drawing = form_in(drawn(outline, Way(tool, paper, marks=True), rng))
    assert overlap(drawing.form, outline) > 0.93


def test_forms_of_every_family_are_read() -> None:
    told = []
    for seed in range(200_020, 200_032):
        rng = np.random.default_rng(seed)
        outline = idea(seed, UNSEEN)
        told.append(overlap(form_in(drawn(outline, Way(), rng)).form, outline))
    assert min(told) > 0.88
    assert np.mean(told) > 0.93


def test_photos_of_whole_pages_are_read_with_table_rules_holes_and_words() -> None:
    """Drawn and photographed by other code than what the rest of these tests use."""
    forms = []
    for form, _, photo in sketchbooks(6, 2, 900):
        forms.append((form, poses_of(form_in(photo).form)))
    assert len(forms) == 12
    alike = likeness(compared([poses for _, poses in forms]).distances)
    same = np.equal.outer([form for form, _ in forms], [form for form, _ in forms])
    assert alike[~same].mean() < 0.25


def test_a_picture_in_colour_or_of_many_pixels_is_read_alike() -> None:
    outline = idea(200_011, UNSEEN)
    gray = drawn(outline, Way(size=(2 * WORKING_PX, WORKING_PX)), np.random.default_rng(4))
    colour = np.dstack((gray, gray, gray))
    assert (form_in(gray).form == form_in(colour).form).all()
    assert max(form_in(gray).form.shape) < WORKING_PX


def test_a_number_beside_a_drawing_is_no_part_of_it() -> None:
    outline = idea(200_011, UNSEEN)
    way, rng = Way(part=0.5), np.random.default_rng(5)
    paper = on_paper(outline, way, rng)
    alone = form_in(taken(paper, np.random.default_rng(6), 0))
    cv2.putText(paper, "no 12", (40, 440), cv2.FONT_HERSHEY_SIMPLEX, 0.6, 0.3, 2)
    noted = form_in(taken(paper, np.random.default_rng(6), 0))
    assert alone.form.shape == noted.form.shape


def test_a_lid_that_hovers_over_its_pot_belongs_to_it() -> None:
    paper = np.full((480, 360), 0.95)
    cv2.ellipse(paper, (180, 300), (80, 100), 0, 0, 360, 0.3, 2)
    alone = form_in(taken(paper, np.random.default_rng(6), 0))
    cv2.ellipse(paper, (180, 185), (60, 11), 0, 0, 360, 0.3, 2)
    with_lid = form_in(taken(paper, np.random.default_rng(6), 0))
    assert with_lid.form.shape[0] > alone.form.shape[0] + 15


def test_a_gap_in_the_line_is_closed() -> None:
    paper = np.full((480, 360), 0.95)
    cv2.ellipse(paper, (180, 240), (90, 120), 0, 5, 357, 0.3, 2)
    form = form_in(taken(paper, np.random.default_rng(6), 0)).form
    # An ellipse fills π/4 of its box.
    assert np.count_nonzero(form) / form.size == pytest.approx(np.pi / 4, abs=0.05)


def test_a_line_that_sticks_out_is_no_part_of_the_form() -> None:
    paper = np.full((480, 360), 0.95)
    cv2.circle(paper, (180, 300), 80, 0.3, 2)
    cv2.line(paper, (180, 220), (180, 40), 0.3, 2)
    drawing = form_in(taken(paper, np.random.default_rng(6), 0))
    high, wide = (int(np.ptp(np.nonzero(drawing.form)[axis])) for axis in (0, 1))
    assert high == pytest.approx(wide, abs=5)
    assert np.ptp(np.nonzero(drawing.strokes)[0]) > 300


def test_the_edge_of_the_paper_on_a_dark_table_is_no_line() -> None:
    outline = idea(200_011, UNSEEN)
    gray = drawn(outline, Way(part=0.55), np.random.default_rng(8))
    table = np.full((600, 500), 70, np.uint8)
    table[60:540, 70:430] = gray
    turn = cv2.getRotationMatrix2D((250, 300), 7, 1)
    photo = np.asarray(cv2.warpAffine(table, turn, (500, 600), borderValue=70), np.uint8)
    assert overlap(form_in(photo).form, turned(outline, -7)) > 0.9


def turned(outline: Array, degrees: float) -> Array:
    turn = np.radians(degrees)
    return outline @ np.array(((np.cos(turn), np.sin(turn)), (-np.sin(turn), np.cos(turn))))


def paper_with(draw: str) -> Array:
    paper = np.full((480, 360), 0.95)
    if draw == "speck":
        cv2.circle(paper, (100, 100), 9, 0.3, 2)
    elif draw == "dot":
        cv2.circle(paper, (100, 100), 2, 0.3, 2)
    elif draw == "cut off":
        cv2.ellipse(paper, (340, 240), (130, 180), 0, 0, 360, 0.3, 2)
    elif draw == "cut off beside a small one":
        cv2.ellipse(paper, (340, 240), (130, 180), 0, 0, 360, 0.3, 2)
        cv2.circle(paper, (80, 80), 30, 0.3, 2)
    elif draw == "open":
        cv2.ellipse(paper, (180, 240), (90, 120), 0, 200, 340, 0.3, 2)
    elif draw == "straight":
        cv2.line(paper, (60, 400), (300, 60), 0.3, 2)
    return taken(paper, np.random.default_rng(9), 0)


@pytest.mark.parametrize(
    ("draw", "code"),
    [
        ("nothing", "nothing_drawn"),
        ("dot", "nothing_drawn"),
        ("speck", "too_small"),
        ("cut off", "cut_off"),
        ("cut off beside a small one", "cut_off"),
        ("open", "open_line"),
        ("straight", "open_line"),
    ],
)
def test_what_shows_no_form_says_why(draw: str, code: str) -> None:
    with pytest.raises(NoForm) as reason:
        form_in(paper_with(draw))
    assert reason.value.code == code
    assert MESSAGES[code].endswith(".")


@pytest.mark.parametrize("gray", [0, 90, 255])
def test_a_picture_of_one_tone_shows_nothing(gray: int) -> None:
    with pytest.raises(NoForm, match="nothing_drawn"):
        form_in(np.full((300, 400), gray, np.uint8))


def test_noise_and_hard_halves_are_no_drawing_and_no_fault() -> None:
    rng = np.random.default_rng(1)
    halves = np.zeros((400, 300), np.uint8)
    halves[:, 150:] = 230
    for picture in (rng.integers(0, 256, (400, 300)).astype(np.uint8), halves):
        with suppress(NoForm):
            form_in(picture)


def test_a_picture_of_a_few_pixels_is_too_small() -> None:
    for shape in ((1, 1), (40, 400), (400, 1)):
        with pytest.raises(NoForm, match="too_small"):
            form_in(np.full(shape, 200, np.uint8))


def test_a_hand_that_trembles_is_read_as_the_same_form() -> None:
    outline = idea(200_011, UNSEEN)
    rng = np.random.default_rng(12)
    steady = form_in(drawn(outline, Way(), rng))
    shaky = form_in(drawn(redrawn(outline, rng, 0.0, 3.0), replace(Way(), passes=3), rng))
    alike = likeness(compared([poses_of(steady.form), poses_of(shaky.form)]).distances)
    assert alike[0, 1] > fitted.SAME
