"""The series for the wall against the heat equation, solved step by step."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from studio.kilns.heat.energy import Energy, Load, Wall, energy
from studio.kilns.heat.program import Segment, temperature_c, timing
from studio.kilns.shipped import PROGRAMS

# Insulating brick of 115 mm, some 0.25 W/(m K), 600 kg/m³, 1000 J/(kg K); ware and shelves with
# 1000 J/(kg K): from memory.
WALL = Wall(
    area_m2=2.4,
    thickness_mm=115,
    conductivity_w_per_m_k=0.25,
    density_kg_per_m3=600,
    heat_capacity_j_per_kg_k=1000,
)
LOAD = Load(mass_kg=80, heat_capacity_j_per_kg_k=1000)


def asked(segments: tuple[Segment, ...], power_kw: float = 20, *metered: float) -> Energy:
    return energy(
        20,
        segments,
        wall=WALL,
        load=LOAD,
        power_kw=power_kw,
        metered_over_computed=metered,
    )


def through_time_kwh(segments: tuple[Segment, ...], film: float) -> float:
    """Heat into load and wall: the heat equation in one dimension, the inside following the
    program, the outside losing `film` W/(m² K) to a room of 20 °C; 10 is a handbook's usual figure
    for still air and radiation (from memory).
    """
    nodes = 24
    step = WALL.thickness_mm / 1000 / nodes
    spread = WALL.conductivity_w_per_m_k / (WALL.density_kg_per_m3 * WALL.heat_capacity_j_per_kg_k)

    def change(
        seconds: float, at: "np.ndarray[tuple[int], np.dtype[np.float64]]"
    ) -> "np.ndarray[tuple[int], np.dtype[np.float64]]":
        inside = temperature_c(20, segments, seconds / 3600)
        wall = at[:-1]
        left = np.concatenate([[2 * inside - wall[0]], wall[:-1]])
        out_c = wall[-1] - (wall[-1] - 20) * (film * step / WALL.conductivity_w_per_m_k) / (
            1 + film / 2 * step / WALL.conductivity_w_per_m_k
        )
        right = np.concatenate([wall[1:], [out_c]])
        into_w = WALL.conductivity_w_per_m_k * WALL.area_m2 * (inside - wall[0]) / (step / 2)
        return np.concatenate([spread * (left - 2 * wall + right) / step**2, [into_w]])

    end_s = timing(20, segments).duration_h * 3600
    start = np.concatenate([np.full(nodes, 20.0), [0.0]])
    solved = solve_ivp(
        change, (0, end_s), start, method="BDF", max_step=1200, rtol=1e-5, t_eval=[end_s]
    )
    peak_c = timing(20, segments).peak_c
    load_j = LOAD.mass_kg * LOAD.heat_capacity_j_per_kg_k * (peak_c - 20)
    return float((solved.y[-1, -1] + load_j) / 3.6e6)


def test_after_days_the_wall_passes_what_a_steady_wall_passes() -> None:
    """k A ΔT/d, and the wall holds half of what it would if it were hot throughout."""
    short, long = (asked((Segment(60, 620, hours * 60),)) for hours in (90, 100))
    assert long.load_kwh == pytest.approx(80 * 1000 * 600 / 3.6e6)
    steady_kw = 0.25 * 2.4 / 0.115 * 600 / 1000
    assert long.wall_kwh - short.wall_kwh == pytest.approx(10 * steady_kw, rel=1e-6)


@pytest.mark.parametrize(
    "segments",
    [
        PROGRAMS[1].segments,
        (Segment(100, 600), Segment(150, 1250, 30)),
        (Segment(200, 1000),),
    ],
)
def test_it_is_what_the_heat_equation_gives(segments: tuple[Segment, ...]) -> None:
    """Exactly where the outside is held at the room's temperature; a little above it where still
    air takes the heat away, since the outside is warmer then."""
    likely = asked(segments).likely_kwh
    assert likely == pytest.approx(through_time_kwh(segments, film=1e6), rel=0.003)
    assert 1.0 <= likely / through_time_kwh(segments, film=10) <= 1.05


def test_it_is_honest_about_how_much_it_knows() -> None:
    """A quarter before a firing was metered, a tenth after: derived from trials."""
    before, after = asked((Segment(100, 1000),)), asked((Segment(100, 1000),), 20, 0.9, 0.8, 1.3)
    assert before.low_kwh == pytest.approx(0.75 * before.likely_kwh)
    assert before.high_kwh == pytest.approx(1.25 * before.likely_kwh)
    assert after.likely_kwh == pytest.approx(0.9 * before.likely_kwh)
    assert after.high_kwh == pytest.approx(1.1 * after.likely_kwh)
    assert (before.firings, after.firings) == (0, 3)


def test_a_climb_that_asks_for_more_than_the_kiln_has_is_said() -> None:
    """80 kg at 1000 J/(kg K) and 150 °C/h are 3.3 kW, the steady wall at 1000 °C another 5.1 kW,
    and warming it on the way (a third of its heat capacity, 55 kJ/K) 2.3 kW."""
    segments = (Segment(150, 1000), Segment(80, 500))
    (said,) = asked(segments, 10).cautions
    assert said.values["segment"] == "1"
    assert said.values["needed_kw"] == pytest.approx(3.33 + 5.11 + 2.30, abs=0.1)
    assert "the kiln has 10 kW" in said.message
    assert asked(segments, 11).cautions == ()


def test_heat_that_comes_back_is_not_saved() -> None:
    up = asked((Segment(100, 1000),))
    assert asked((Segment(100, 1000), Segment(400, 500))).likely_kwh >= up.likely_kwh


def test_a_kiln_that_never_heats_stores_nothing() -> None:
    found = asked((Segment(100, 20, 60),))
    assert found.likely_kwh == 0
