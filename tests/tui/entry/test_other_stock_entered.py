"""Another cable entered for a fence that hangs, and a row taken out that posts were made of, by real keys."""

from pathlib import Path

from engine.job.file.store import load, new
from engine.job.model.item_key import item_key
from engine.walk import walk
from tests.demo import accepted
from tests.repair.finished import finished
from tests.test_done_means_done import all_ticked
from tests.test_other_stock import of_other, with_rows
from tests.tui.driving import keys, on_disk, shown, typed
from tui.app import LinewalkApp
from tui.entry.forms import FORMS
from tui.widgets.rows import Rows

CLOSED = item_key("cables.L1.closed")


async def test_another_cable_in_the_fence_opens_its_loops_and_u_brings_them_back(tmp_path: Path) -> None:
    path = tmp_path / "willow.toml"
    new(path, finished("willow_bend"))
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "e", *["down"] * [form.kind for form in FORMS].index("fence"), "enter")
        while app.focused is None or app.focused.id != "in-cable":
            await keys(pilot, "tab")
        await typed(pilot, "cable-1-8")
        await keys(pilot, "enter")
        job = on_disk(path)
        assert (job.fence.cable, job.checks[CLOSED].of.stock) == ("cable-1-8", ("sleeve-30", "post-8", "cable-3-32"))
        assert walk(job).checklists["cables"].by_key[CLOSED].state == "open"
        await keys(pilot, "escape", "5")
        assert "it was done with cable-3-32" in " ".join(shown(app).split())
        await keys(pilot, "u")
        assert on_disk(path).fence.cable == "cable-3-32"
        assert walk(on_disk(path)).checklists["cables"].by_key[CLOSED].state == "done"


async def test_a_row_that_posts_were_made_of_can_not_be_taken_out(tmp_path: Path) -> None:
    """Twelve posts of another row, and the fence names its first row again."""
    path, own = tmp_path / "willow.toml", with_rows(accepted())
    new(path, all_ticked(of_other(own, "post")).model_copy(update={"fence": own.fence}))
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "e", *["down"] * [form.kind for form in FORMS].index("stock"), "right", "home")
        while app.screen.query_one("#records", Rows).current != "other-post":
            await keys(pilot, "down")
        await keys(pilot, "x")
        told = " ".join(" ".join(shown(app).splitlines()[-4:-1]).split())
        assert "other-post is still used: 12 posts of it went in, by what is ticked. Leave it in the stock" in told
    job = on_disk(path)
    assert "other-post" in job.stock
    assert {row.stock: row.used for row in walk(job).takeoff.rows}["other-post"] == 12
