"""World feet to cells and back."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tui.canvas.viewport import COARSEST_FT, FINEST_FT, Viewport, bounds_of, fit, round_length

feet = st.floats(-2000, 2000)
views = st.builds(
    Viewport,
    st.integers(1, 250),
    st.integers(1, 80),
    st.tuples(feet, feet),
    st.floats(0.05, 50),
    st.floats(1, 10),
)


@pytest.mark.closed_form
def test_a_cell_is_twice_as_high_as_wide_and_north_is_up() -> None:
    view = Viewport(40, 12, (100.0, 50.0), 2.0)
    assert view.to_cell((100, 50)) == (20, 6)
    assert view.to_cell((110, 50)) == (25, 6)
    assert view.to_cell((100, 60)) == (20, 3.5)
    assert view.to_world((0, 0)) == (60, 74)


@pytest.mark.closed_form
def test_exaggeration_stretches_heights_only() -> None:
    view = Viewport(40, 12, (0.0, 0.0), 2.0, exaggeration=4.0)
    assert view.feet_per_row == 1.0
    assert view.to_cell((10, 3)) == (25, 3)


@given(view=views, point=st.tuples(feet, feet))
@settings(max_examples=60)
def test_to_world_undoes_to_cell(view: Viewport, point: tuple[float, float]) -> None:
    assert view.to_world(view.to_cell(point)) == pytest.approx(point, abs=1e-6)


@given(view=views, factor=st.floats(0.2, 5), column=st.floats(0, 200), row=st.floats(0, 60))
@settings(max_examples=60)
def test_zoom_keeps_the_point_under_the_pointer(view: Viewport, factor: float, column: float, row: float) -> None:
    assert view.zoomed(factor, (column, row)).to_world((column, row)) == pytest.approx(view.to_world((column, row)), abs=1e-6)


@given(
    corner=st.tuples(feet, feet),
    size=st.tuples(st.floats(0, 900), st.floats(0, 900)),
    width=st.integers(10, 250),
    height=st.integers(5, 80),
)
@settings(max_examples=60)
def test_fit_shows_all_of_the_bounds(corner: tuple[float, float], size: tuple[float, float], width: int, height: int) -> None:
    left, bottom, right, top = corner[0], corner[1], corner[0] + size[0], corner[1] + size[1]
    view = fit((left, bottom, right, top), width, height)
    for point in ((left, bottom), (right, top)):
        column, row = view.to_cell(point)
        assert 3 - 1e-6 <= column <= width - 3 + 1e-6
        assert 1.5 - 1e-6 <= row <= height - 1.5 + 1e-6


@pytest.mark.closed_form
def test_fit_takes_the_scale_of_the_longer_way() -> None:
    assert fit((0, 0, 74, 10), 80, 24).feet_per_cell == pytest.approx(1.0)
    assert fit((0, 0, 10, 84), 80, 24).feet_per_cell == pytest.approx(2.0)


def test_pan_moves_by_cells() -> None:
    assert Viewport(40, 12, (0.0, 0.0), 2.0).panned(5, -3).centre == (10, 12)


def test_zoom_stops_at_the_finest_and_coarsest_scale() -> None:
    view = Viewport(40, 12, (0.0, 0.0), 1.0)
    assert view.zoomed(1e9).feet_per_cell == FINEST_FT
    assert view.zoomed(1e-9).feet_per_cell == COARSEST_FT


def test_bounds_are_never_empty() -> None:
    assert bounds_of([]) == (-5, -5, 5, 5)
    assert bounds_of([(3, 4)]) == (-2, -1, 8, 9)
    assert bounds_of([(0, 0), (40, 2)]) == (0, -4, 40, 6)


@pytest.mark.parametrize(("most", "length"), [(24, 20), (50, 50), (9.9, 5), (1.0, 1), (0.3, 0.2), (499, 200)])
def test_round_length_is_the_largest_of_1_2_5(most: float, length: float) -> None:
    assert round_length(most) == pytest.approx(length)
