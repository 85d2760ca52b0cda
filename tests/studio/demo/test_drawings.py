import numpy as np

from studio.demo.drawings import drawings_of
from studio.demo.material import Material

MATERIAL = Material()
BY_STUDENT = {piece.student: piece for piece in MATERIAL.pieces}
ALL = [drawing for piece in MATERIAL.pieces for drawing in drawings_of(piece, MATERIAL)]


def test_there_are_hundreds_of_drawings_each_with_its_own_form() -> None:
    assert 400 <= len(ALL) <= 600
    widths = np.array([drawing.form.left[:, 1] for drawing in ALL])
    assert len(np.unique(widths.round(6), axis=0)) == len(ALL)


def test_nobody_sends_two_files_of_one_name() -> None:
    names = [(drawing.piece, drawing.file_name) for drawing in ALL]
    assert len(set(names)) == len(names)


def test_refinements_come_closer_to_the_plan_step_by_step() -> None:
    for piece in MATERIAL.pieces:
        if not piece.plan:
            continue
        goal = MATERIAL.profiles[piece.plan].drawn(MATERIAL.forms).left[:, 1]
        steps = [d.form.left[:, 1] for d in drawings_of(piece, MATERIAL) if d.is_refinement]
        away = [float(np.abs(step - goal).max()) for step in steps]
        assert away == sorted(away, reverse=True)


def test_a_second_load_makes_the_same_pictures() -> None:
    piece = BY_STUDENT["mb-24001"]
    first, again = (drawings_of(piece, MATERIAL)[0].photo() for _ in range(2))
    assert first == again


def test_who_has_nothing_sends_nothing() -> None:
    nothing = next(piece for piece in MATERIAL.pieces if piece.state == "nothing")
    assert drawings_of(nothing, MATERIAL) == []
