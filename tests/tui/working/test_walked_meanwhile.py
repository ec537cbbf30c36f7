"""A job walked by a child process: its walk is taken over; where there is no child, or it comes to nothing, the job is walked here."""

import os
import subprocess
import sys

import pytest

from engine.walk import walk
from tests.demo import accepted, others
from tests.source import ROOT
from tui.working import walked_meanwhile as meanwhile

START = """
import os, signal, time
from engine.paper.plan.plan_json import plan_text
from engine.walk import forget
from tests.demo import accepted
from tui.working import walked_meanwhile as meanwhile

job, here, walk_here, told = accepted(), os.getpid(), meanwhile.walk, meanwhile.told
wanted = plan_text(walk_here(job))
forget()
meanwhile.may_have_a_child = lambda: True
"""
END = """
print(plan_text(walked()) == wanted)
try:
    os.waitpid(-1, os.WNOHANG)
except ChildProcessError:
    print("no child is left")
"""
IN_THE_CHILD = """
def walk(job):
    if os.getpid() != here:
        {happens}
    return walk_here(job)

meanwhile.walk, meanwhile.PATIENCE_S = walk, {patience_s}
walked = meanwhile.walked_meanwhile(job)
"""


def said(script: str) -> str:
    """What a script prints in a process of its own, on both its outputs."""
    command = [sys.executable, "-c", START + script + END]
    return subprocess.run(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, check=False, text=True).stdout


def test_the_walk_is_the_child_s_and_nothing_is_walked_here() -> None:
    assert said("walked = meanwhile.walked_meanwhile(job)\nmeanwhile.walk = None") == "True\nno child is left\n"


def test_children_that_nobody_may_wait_for_are_not_waited_for() -> None:
    unheard = "signal.signal(signal.SIGCHLD, signal.SIG_IGN)\nwalked = meanwhile.walked_meanwhile(job)"
    assert said(unheard) == "True\nno child is left\n"


@pytest.mark.parametrize(
    "happens",
    ["raise ValueError('a fault')", "os.kill(os.getpid(), signal.SIGKILL)", "meanwhile.told = lambda *of: told(*of)[:-1000]"],
)
def test_a_child_that_comes_to_nothing_is_done_without(happens: str) -> None:
    assert said(IN_THE_CHILD.format(happens=happens, patience_s=20)) == "True\nno child is left\n"


def test_what_a_child_prints_does_not_reach_the_terminal() -> None:
    assert said(IN_THE_CHILD.format(happens="os.write(2, b'a warning')", patience_s=20)) == "True\nno child is left\n"


def test_a_child_that_hangs_is_not_waited_for_for_ever() -> None:
    assert said(IN_THE_CHILD.format(happens="time.sleep(600)", patience_s=0.2)) == "True\nno child is left\n"


def test_a_child_whose_walk_nobody_takes_ends() -> None:
    left = "walked = meanwhile.walked_meanwhile(job)\ndel walked\nprint(os.wait()[1])\nwalked = lambda: walk_here(job)"
    assert said(left) == "0\nTrue\nno child is left\n"


def test_where_no_process_can_be_made_the_job_is_walked_here(monkeypatch: pytest.MonkeyPatch) -> None:
    def none_left() -> int:
        raise BlockingIOError

    monkeypatch.setattr(meanwhile, "may_have_a_child", lambda: True)
    monkeypatch.setattr(os, "fork", none_left)
    assert meanwhile.walked_meanwhile(accepted())() == walk(accepted())


def test_no_child_on_another_system_on_one_processor_amid_threads_or_for_no_screen(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(meanwhile, "active_count", lambda: 1)
    monkeypatch.setattr(os, "sched_getaffinity", lambda _: {0, 1}, raising=False)
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setattr(os, "isatty", lambda _: True)
    assert meanwhile.may_have_a_child()
    with monkeypatch.context() as elsewhere:
        elsewhere.setattr(sys, "platform", "darwin")
        assert not meanwhile.may_have_a_child()
    with monkeypatch.context() as alone:
        alone.setattr(os, "sched_getaffinity", lambda _: {0}, raising=False)
        assert not meanwhile.may_have_a_child()
    with monkeypatch.context() as no_screen:
        no_screen.setattr(os, "isatty", lambda stream: stream == 0)
        assert not meanwhile.may_have_a_child()
    with monkeypatch.context() as amid_threads:
        amid_threads.setattr(meanwhile, "active_count", lambda: 2)
        assert not meanwhile.may_have_a_child()


@pytest.mark.parametrize("name", sorted(others()))
def test_a_walk_that_is_told_speaks_of_the_job_s_own_parts(name: str) -> None:
    job = others()[name]
    heard = meanwhile.heard(meanwhile.told(walk(job), job), job)
    assert heard == walk(job)
    lines = [line for checklist in heard.checklists.values() for line in checklist.lines]
    ticks = [line.tick for line in lines if line.item.reading is None and line.tick is not None]
    assert ticks
    assert all(any(tick is own for own in job.checks.values()) for tick in ticks)


def test_without_a_child_the_walk_is_made_when_it_is_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(meanwhile, "may_have_a_child", lambda: False)
    assert meanwhile.walked_meanwhile(accepted())() == walk(accepted())
