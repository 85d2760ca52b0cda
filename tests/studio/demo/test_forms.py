from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.demo.forms import Form, between, form_from_plan, forms_from, smooth_side, varied

FIXTURES = Path(__file__).parents[3] / "fixtures"
FORMS = forms_from(FIXTURES / "forms.toml")


def test_there_are_more_than_sixty_ideas_of_many_families() -> None:
    assert len(FORMS) >= 60
    assert len({form.family for form in FORMS.values()}) >= 16


def test_a_name_used_twice_is_refused_by_name(tmp_path: Path) -> None:
    side = "[[0, 0.2], [1, 0.1]]"
    row = f'{{ name = "egg", family = "egg", source = "egg", side = {side}, marks = "plain" }}'
    path = tmp_path / "forms.toml"
    path.write_text(f"forms = [{row}, {row}]", encoding="utf-8")
    with pytest.raises(ValueError, match=r"forms.toml: two forms are called 'egg'"):
        forms_from(path)


@pytest.mark.parametrize("form", FORMS.values(), ids=list(FORMS))
def test_every_form_rises_from_the_table_to_one_and_stays_open(form: Form) -> None:
    assert form.left[0, 0] == 0.0
    assert form.left[-1, 0] == pytest.approx(1.0)
    assert (np.diff(form.left[:, 0]) > 0).all()
    assert (form.left[:, 1] > 0.02).all()


@given(st.lists(st.floats(0.1, 1.0), min_size=3, max_size=9))
def test_a_curve_never_leaves_the_range_of_its_points(halves: list[float]) -> None:
    points = np.column_stack([np.linspace(0, 1, len(halves)), halves])
    curve = smooth_side(points)
    assert curve[:, 1].min() >= min(halves) - 1e-9
    assert curve[:, 1].max() <= max(halves) + 1e-9


@given(st.integers(0, 2**31), st.floats(0.0, 0.3))
def test_a_varied_form_keeps_its_height_and_changes_no_more_than_asked(
    seed: int, amount: float
) -> None:
    form = FORMS["pear"]
    other = varied(form, seed, amount)
    assert other.left[-1, 0] == pytest.approx(1.0)
    assert (np.diff(other.left[:, 0]) > 0).all()
    assert np.abs(other.left[:, 1] / form.left[:, 1] - 1).max() <= amount + 1e-9


def test_a_refinement_goes_all_the_way_from_the_first_form_to_the_last() -> None:
    first, last = FORMS["pear"], FORMS["hourglass"]
    np.testing.assert_allclose(between(first, last, 0.0).left, first.left)
    np.testing.assert_allclose(between(first, last, 1.0).right, last.right)
    steps = [between(first, last, part).left for part in (0.0, 0.3, 0.6, 1.0)]
    moved = [np.abs(step - last.left).max() for step in steps]
    assert moved == sorted(moved, reverse=True)


def test_a_plan_becomes_a_form_of_height_one_with_both_sides_kept() -> None:
    levels = np.array([[0, 50, 52], [120, 90, 84], [240, 60, 60]], dtype=float)
    form = form_from_plan("mine", levels, like=FORMS["pear"])
    assert form.left[-1].tolist() == [1.0, 0.25]
    assert form.right[0, 1] == pytest.approx(52 / 240)
    assert form.half_width == pytest.approx(90 / 240, rel=0.01)
