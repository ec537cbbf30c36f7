"""Whole lines in the wind, hung by the referee, beside what the stage says of them: wind on every bay, or on the longest alone."""

from typing import NamedTuple

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.stages.cables.blown_loops import LoopWind, Pulls, loop_wind
from tests.referee.hanging_cables import Hung, Post
from tests.referee.whole_lines import Line, blown, lines, out_in, posts_that_give, straight_loops

pytestmark = pytest.mark.independent


class Gust(NamedTuple):
    """What the stage says of a line in a wind, and the referee of every bay and of the longest alone."""

    told: LoopWind
    alike: Hung
    alone: Hung
    longest: int

    def pulls(self, rest: Hung) -> Pulls:
        """Top and bottom, midway along the line."""
        count = len(rest.tension_lbf) // 2
        return Pulls(sum(rest.tension_lbf[:count]) / count, sum(rest.tension_lbf[count:]) / count)

    @property
    def out_in(self) -> float:
        """How far the longest bay blows out alone, top or bottom."""
        return max(out_in(self.alone, self.longest), out_in(self.alone, len(self.alone.tension_lbf) // 2 + self.longest))


def gust(line: Line, mph: float, posts: dict[str, Post] | None = None) -> Gust:
    braced, strung = line.worked()
    loop, bays = strung.blown["L1"], braced.strung["L1"].bays
    longest = line.bays_ft.index(max(line.bays_ft))
    top_plf, bottom_plf = (side.side_plf * (mph / 100) ** 2 for side in (loop.top, loop.bottom))
    alike, alone = (blown(line, top_plf, bottom_plf, where, posts) for where in (range(len(bays)), (longest,)))
    return Gust(loop_wind(loop, bays, mph), alike, alone, longest)


@settings(max_examples=25, deadline=None)
@given(line=lines(), mph=st.floats(40, 110))
def test_a_line_in_the_wind(line: Line, mph: float) -> None:
    """Pulls midway to 2 %, how far the longest bay blows out to 3 %, up and down grades of 15 % and round bends of 40 degrees."""
    found = gust(line, mph)
    assert found.told.alike == pytest.approx(found.pulls(found.alike), rel=0.02)
    assert found.told.alone == pytest.approx(found.pulls(found.alone), rel=0.02)
    assert found.told.out_in == pytest.approx(found.out_in, rel=0.03)


@settings(max_examples=20, deadline=None)
@given(line=straight_loops(), mph=st.floats(40, 110))
def test_what_posts_that_stand_still_leave_out_in_the_wind(line: Line, mph: float) -> None:
    """A loop of 40 ft or more between braced ends: the bottom cable pulls up to 6 % less than is told, the top one up to 3 % more, and the
    longest bay blows out up to 12 % further; whether every bay is blown or that one alone."""
    found = gust(line, mph, posts_that_give(line, True))
    for told, rest in ((found.told.alike, found.alike), (found.told.alone, found.alone)):
        assert told is not None
        pulls = found.pulls(rest)
        assert 0.97 < told.top_lbf / pulls.top_lbf < 1.0
        assert 1.0 < told.bottom_lbf / pulls.bottom_lbf < 1.06
    assert found.told.out_in is not None
    assert 0.88 < found.told.out_in / found.out_in < 1.0
