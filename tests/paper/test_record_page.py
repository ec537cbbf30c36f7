"""The page for the office: whole, harmless whatever a name holds, drawn to scale, the same bytes each time."""

import re
import xml.etree.ElementTree as ET
from datetime import timedelta
from functools import cache

import pytest

from engine.calc.geometry.plane import distance_ft
from engine.calc.lengths import format_ft_in
from engine.drawing.plan_shapes import plan_shapes
from engine.drawing.profile_shapes import profile_shapes
from engine.drawing.shapes import Drawing, Stroke
from engine.job.edit import edits
from engine.job.file.store import load, starter
from engine.job.model.job import Job
from engine.job.model.shots import Point
from engine.job.model.site import Structure
from engine.paper.drawings.drawing_sheet import PX_PER_IN, WIDTH_IN, sheet_of
from engine.paper.drawings.plan_drawing import plan_svg
from engine.paper.drawings.profile_drawing import profile_strips
from engine.paper.markup import element, escaped
from engine.paper.printed_sheets import PAGE_LETTERS, printed_sheets
from engine.paper.record_office import printed_tables
from engine.paper.record_page import record_html
from engine.walk import Walk, walk
from tests.demo import AT, FOLDER, accepted, demo, others
from tests.drawing.drawn_jobs import there
from tests.paper.test_record_tables import signed, worked
from tests.stages.yards import build

HTML = "{http://www.w3.org/1999/xhtml}"
SVG = "{http://www.w3.org/2000/svg}"
HOSTILE = "<script>alert('x')</script>\"&amp;]]>--><img src=x onerror=y> \u202egpj"


def jobs() -> dict[str, Job]:
    """Jobs of every state: empty, new, surveyed, planned, half built, signed."""
    return {
        "empty": Job(),
        "new": starter("new"),
        "surveyed": demo(),
        "planned": accepted(),
        "worked": worked(),
        "signed": signed(),
        **others(),
    }


@cache
def page(name: str) -> ET.Element:
    """The page of a job, as an XML reader sees it."""
    job = jobs()[name]
    return ET.fromstring(record_html(job, walk(job)))


def words(found: ET.Element) -> str:
    """All text of an element, spaces run together."""
    return " ".join("".join(found.itertext()).split())


@pytest.mark.parametrize("name", jobs())
def test_every_page_is_well_formed_and_whole(name: str) -> None:
    found = page(name)
    assert found.tag == f"{HTML}html"
    assert [child.tag for child in found] == [f"{HTML}head", f"{HTML}body"]
    headings = [words(heading) for heading in found.iter(f"{HTML}h2")]
    first = [heading for heading in headings if heading != "Notes known at sign-off"][:3]
    assert first == ["Left open", "Changed from the plan", "What happened, in order"]
    assert headings[-3:] == ["Checklist", "Care of this fence", "Cautions for later work"]
    assert len(set(headings)) == len(headings)


@pytest.mark.parametrize("name", jobs())
def test_the_list_of_contents_leads_to_every_part(name: str) -> None:
    found = page(name)
    (contents,) = found.iter(f"{HTML}nav")
    links = [(link.attrib["href"], words(link)) for link in contents.iter(f"{HTML}a")]
    assert links == [(f"#{heading.attrib['id']}", words(heading)) for heading in found.iter(f"{HTML}h2")]
    assert len(dict(links)) == len(links)


@pytest.mark.parametrize("name", jobs())
def test_every_support_bay_reading_and_log_sentence_is_on_it(name: str) -> None:
    job = jobs()[name]
    said = words(page(name))
    tables = [table for table in printed_tables(job, walk(job)) if table.title != "What was built"]
    sheets = printed_sheets(job, walk(job), PAGE_LETTERS)
    tables += [table for sheet in sheets for table in sheet.tables]
    asked = [cell for table in tables for row in table.rows for cell in row] + [words for sheet in sheets for words in sheet.says]
    assert [cell for cell in asked if " ".join(cell.split()).lower() not in said.lower()] == []
    assert {"None", "nan", "inf"} & set(said.split()) == set()


def test_no_table_has_a_row_of_another_width() -> None:
    for table in page("worked").iter(f"{HTML}table"):
        assert len({len(row) for row in table.iter(f"{HTML}tr")}) == 1


@pytest.mark.parametrize("name", jobs())
def test_nothing_is_fetched_and_nothing_runs(name: str) -> None:
    job = jobs()[name]
    text = record_html(job, walk(job))
    bare = text.replace('xmlns="http://www.w3.org/1999/xhtml"', "").replace('xmlns="http://www.w3.org/2000/svg"', "")
    assert re.findall(r"https?://|//[a-z]|@import|url\((?!#)", bare) == []
    assert {child.tag.rpartition("}")[2] for child in page(name).iter()} & {
        "script",
        "link",
        "img",
        "iframe",
        "object",
        "use",
    } == set()
    assert [key for child in page(name).iter() for key in child.attrib if key.startswith("on") or key in ("src", "style")] == []
    assert [there for child in page(name).iter() if not (there := child.attrib.get("href", "#")).startswith("#")] == []
    assert text.index("Content-Security-Policy") < text.index("<style>")


def test_the_same_file_gives_the_same_bytes() -> None:
    for file in sorted(FOLDER.glob("*.toml")):
        first, again = load(file), load(file)
        pages = [record_html(one.job, walk(one.job), one.seal_holds, one.seal_says) for one in (first, again)]
        assert pages[0] == pages[1]


def hostile() -> Job:
    """The half-built demo with markup in every free text."""
    job = edits.note(worked(), HOSTILE, AT + timedelta(hours=1), HOSTILE, about=HOSTILE)
    who = job.job.model_copy(update={"title": HOSTILE + "</title></style>", "client": HOSTILE, "site": HOSTILE, "crew": (HOSTILE,)})
    yards = {name: yard.model_copy(update={"name": HOSTILE}) for name, yard in job.yards.items()}
    checks = {key: tick.model_copy(update={"note": HOSTILE, "by": HOSTILE}) for key, tick in job.checks.items()}
    return job.model_copy(update={"job": who, "yards": yards, "checks": checks})


def test_markup_in_names_and_notes_is_shown_as_text() -> None:
    job = hostile()
    text = record_html(job, walk(job))
    found = ET.fromstring(text)
    assert "<script" not in text
    assert "<img" not in text
    assert text.count("</style>") == 1
    assert "\u202e" not in text
    shown = HOSTILE.replace("\u202e", "\\u202e")
    assert words(found).count(shown) >= 6
    style = text.split("<style>")[1].split("</style>")[0]
    assert re.search(r'@bottom-left { content: "(\\[0-9a-f]+ |[A-Za-z0-9])+"; font', style)
    assert "<" not in style


def test_text_is_escaped_and_line_ends_stay() -> None:
    assert escaped("a<b>&\"'\nc\x1b[31m") == "a&lt;b&gt;&amp;&quot;&#x27;\nc\\u001b[31m"
    assert element("text", "x", x=1.0, y=-0.001, class_="a", data_post='P"1', fill=None) == (
        '<text x="1" y="0" class="a" data-post="P&quot;1">x</text>'
    )
    assert element("line", x1=10.0, x2=1.256) == '<line x1="10" x2="1.26"/>'


# Drawings


def marks(svg: ET.Element) -> dict[str, tuple[float, float]]:
    """Where each support's mark is on a drawing, px."""
    found = {}
    for child in svg.iter():
        if "data-post" not in child.attrib:
            continue
        if "cx" in child.attrib:
            found[child.attrib["data-post"]] = (float(child.attrib["cx"]), float(child.attrib["cy"]))
        else:
            corners = [tuple(map(float, pair.split(","))) for pair in child.attrib["points"].split()]
            across, down = [x for x, _ in corners], [y for _, y in corners]
            found[child.attrib["data-post"]] = ((min(across) + max(across)) / 2, (min(down) + max(down)) / 2)
    return found


def plan(job: Job) -> tuple[ET.Element, Walk]:
    """The plan drawing of a job, and its walk."""
    worked_out = walk(job)
    return ET.fromstring(plan_svg(plan_shapes(job, worked_out))), worked_out


@pytest.mark.closed_form
@pytest.mark.parametrize("name", ["worked", "signed", *others()])
def test_marks_stand_as_far_apart_as_the_posts_at_the_scale_that_is_printed(name: str) -> None:
    job = jobs()[name]
    svg, worked_out = plan(job)
    scale_words = next(words(text) for text in svg.iter(f"{SVG}text") if "1 in on paper" in words(text))
    ft_per_in = float(scale_words.split("1 in on paper is ")[1].split(" ft")[0])
    placed, supports = marks(svg), worked_out.layout.supports
    assert set(placed) == set(supports)
    first = next(iter(supports))
    for support in supports:
        drawn = ((placed[support][0] - placed[first][0]) / PX_PER_IN, (placed[first][1] - placed[support][1]) / PX_PER_IN)
        east, north = (a - b for a, b in zip(supports[support].xy, supports[first].xy, strict=True))
        assert drawn == pytest.approx((east / ft_per_in, north / ft_per_in), abs=0.015)


@pytest.mark.closed_form
def test_a_pixel_of_the_drawing_is_a_96th_of_an_inch_and_it_fits_letter_and_a4() -> None:
    for job in jobs().values():
        svg, worked_out = plan(job)
        _, _, wide, high = map(float, svg.attrib["viewBox"].split())
        assert svg.attrib["width"] == f"{wide / PX_PER_IN:.3f}in"
        assert float(svg.attrib["height"].removesuffix("in")) == pytest.approx(high / PX_PER_IN, abs=1e-3)
        assert wide / PX_PER_IN == WIDTH_IN <= 210 / 25.4 - 2 * 13 / 25.4
        assert high / PX_PER_IN < 279.4 / 25.4 - 29 / 25.4
        sheet = sheet_of(plan_shapes(job, worked_out))
        assert all(0 <= x <= wide and 0 <= y <= sheet.height_px for x, y in marks(svg).values())


def test_the_plan_names_posts_gates_trees_and_areas_and_says_what_its_signs_mean() -> None:
    svg, worked_out = plan(worked())
    said = [words(text) for text in svg.iter(f"{SVG}text")]
    assert [name for name in worked_out.layout.supports if name not in said] == []
    for name in (
        "gate side, 5' 2\"",
        "house",
        "rock ledge",
        "gas",
        "deck",
        "N",
        "property line",
        "tree",
        "wall",
        "planned place",
        "gate and its swing",
    ):
        assert name in said
    assert format_ft_in(worked_out.layout.bays["P1-P2"].slope_ft) in said
    classes = [child.attrib.get("class", "") for child in svg.iter()]
    assert classes.count("swing") == 1
    assert classes.count("boundary") == len(worked().boundaries) + 1
    assert sum(part == "foot" for part in classes) == worked_out.bracing.brace_count


@pytest.mark.closed_form
def test_a_moved_post_is_drawn_where_it_stands_and_where_it_was_planned() -> None:
    job = worked()
    svg, worked_out = plan(job)
    ghosts = [child for child in svg.iter() if child.attrib.get("class") == "ghost"]
    moved = worked_out.layout.supports["P6"]
    x, y = marks(svg)["P6"]
    apart_px = ((float(ghosts[0].attrib["cx"]) - x) ** 2 + (float(ghosts[0].attrib["cy"]) - y) ** 2) ** 0.5
    assert apart_px / sheet_of(plan_shapes(job, worked_out)).px_per_ft == pytest.approx(distance_ft(moved.planned, moved.xy), abs=0.01)


def test_profiles_hold_every_support_and_bay_of_a_line_in_strips_that_fit() -> None:
    for job in (worked(), *others().values()):
        worked_out = walk(job)
        for name, line in worked_out.layout.lines.items():
            strips = [ET.fromstring(strip.svg) for strip in profile_strips(there(profile_shapes(worked_out, name)))]
            said = [words(text) for svg in strips for text in svg.iter(f"{SVG}text")]
            assert [support for support in line.supports if support not in said] == []
            assert [bay for bay in line.bays if format_ft_in(worked_out.layout.bays[bay].slope_ft) not in said] == []
            assert all(svg.attrib["width"] == "7.000in" for svg in strips)
            assert all(float(svg.attrib["height"].removesuffix("in")) < 4.5 for svg in strips)


@pytest.mark.closed_form
def test_a_sleeve_is_drawn_to_the_depth_that_was_read() -> None:
    job = worked()
    worked_out = walk(job)
    svg = ET.fromstring(profile_strips(there(profile_shapes(worked_out, "back")))[0].svg)
    scale = next(words(text) for text in svg.iter(f"{SVG}text") if "1 in on paper" in words(text))
    ft_per_in, times = float(scale.split()[5]), int(scale.split("heights ")[1].split()[0])
    read = [child for child in svg.iter() if child.attrib.get("class") == "sleeve"]
    depths_in = [(float(line.attrib["y2"]) - float(line.attrib["y1"])) / PX_PER_IN * ft_per_in / times * 12 for line in read]
    assert depths_in == pytest.approx([22.5, 14.0], abs=0.2)


@pytest.mark.closed_form
@pytest.mark.parametrize("high_ft", [4.0, 7.5])
def test_a_gate_is_drawn_as_high_as_it_is(high_ft: float) -> None:
    job = build(gates={"G1": {"line": "fence", "station_ft": 75, "height_ft": high_ft}})
    drawn = "".join(strip.svg for strip in profile_strips(there(profile_shapes(walk(job), "fence"))))
    ft_per_in, times = 15, 3
    assert "1 in on paper is 15 ft along the line; heights 3 times larger" in drawn
    (leaf,) = re.findall(r'<rect[^>]* height="([0-9.]+)" class="leafbox"', drawn)
    assert float(leaf) / PX_PER_IN * ft_per_in / times == pytest.approx(high_ft - 2 / 12, abs=0.01)


def test_a_line_without_bays_has_no_profile() -> None:
    assert profile_strips(Drawing((Stroke("ground", ((0, 0), (10, 0))),))) == ()


# The seal


def test_the_seal_is_told_as_it_was_found() -> None:
    job = signed()
    for holds, says, kind in ((True, "Nothing changed.", "holds"), (False, "It was changed.", "broken"), (None, "", "unknown")):
        found = ET.fromstring(record_html(job, walk(job), holds, says))
        state = next(part for part in found.iter(f"{HTML}section") if part.attrib.get("class", "").startswith("state"))
        assert state.attrib["class"] == f"state {kind}"
        assert "Signed off 2026-04-15 16:05 by Mo Teal, accepted by the client." in words(state)
        assert says in words(state)
    assert "Not signed off." in words(page("worked"))
    assert "a proposal" in words(page("surveyed"))


def test_the_sealed_demo_shows_its_digest() -> None:
    loaded = load(FOLDER / "alder_row.toml")
    found = ET.fromstring(record_html(loaded.job, walk(loaded.job), loaded.seal_holds, loaded.seal_says))
    assert loaded.job.record is not None
    assert loaded.job.record.digest in words(found)
    assert loaded.seal_says in words(found)


@pytest.mark.closed_form
def test_one_line_alone_is_drawn_larger_and_cut_off_at_its_frame() -> None:
    job = others()["ridge_ring"]
    worked_out = walk(job)
    whole, close = sheet_of(plan_shapes(job, worked_out)), sheet_of(plan_shapes(job, worked_out), "split")
    assert (whole.ft_per_in, close.ft_per_in) == (25.0, 20.0)
    svg = ET.fromstring(plan_svg(plan_shapes(job, worked_out), close))
    (inner,) = (child for child in svg if child.tag == f"{SVG}svg")
    placed = marks(inner)
    assert (float(inner.attrib["width"]), float(inner.attrib["height"])) == pytest.approx((close.width_px, close.height_px), abs=0.01)
    for name in ("P21", "P22", "P23", "P24"):
        assert placed[name] == pytest.approx(close.at(worked_out.layout.supports[name].xy), abs=0.02)
        assert 0 < placed[name][0] < close.width_px
        assert 0 < placed[name][1] < close.height_px


def test_a_site_drawn_small_gets_a_plan_of_each_line() -> None:
    job = others()["ridge_ring"]
    headings = [words(heading) for heading in page("ridge_ring").iter(f"{HTML}h2")]
    assert [heading for heading in headings if heading.startswith("Plan")] == ["Plan", "Plan against built"]
    far = {"far1": Point(east_ft=900, north_ft=0), "far2": Point(east_ft=940, north_ft=0)}
    barn = Structure(kind="shed", points=("far1", "far2"))
    wide = job.model_copy(update={"structures": {**job.structures, "barn": barn}, "points": {**job.points, **far}})
    headings = [words(heading) for heading in ET.fromstring(record_html(wide, walk(wide))).iter(f"{HTML}h2")]
    assert [heading for heading in headings if heading.startswith("Plan of")] == ["Plan of line ring", "Plan of line split"]
