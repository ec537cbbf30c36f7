"""Screens that are laid out and drawn once as they open, and nothing while a batch of changes holds painting back."""

from collections.abc import Callable, Iterable
from typing import TypeVar

from textual.events import ScreenResume
from textual.geometry import Size
from textual.reactive import Reactive
from textual.screen import Screen
from textual.timer import Timer
from textual.widget import Widget
from textual.widgets._toast import ToastRack
from textual.worker import WorkerState

from tui.base.frames import Frames
from tui.base.sure_timers import SureTimers

T = TypeVar("T")
FRAME_S = 1 / 60
PACE_S = FRAME_S / 2
"""The least from the start of one painting to the next: less than what a preview takes to work out."""
MOMENT_S = 0.002
MOST_LAYOUTS = 3
"""One as asked for, one with the scroll bars that came of it, one with what those pushed aside."""


class HeldBack(SureTimers, Screen[T]):
    """The library draws a whole screen three times as it opens, and amid a batch lets what it drew fall; this one draws it once."""

    focused: Reactive[Widget | None] = Reactive(None, repaint=False)
    """What has the focus, and what had it, draw themselves."""
    _drawn = _put_off = False
    _laid_out_for = Size(0, 0)

    _frames: Frames | None = None
    _to_follow = 0
    """How much waits for words to be painted."""

    @property
    def _update_timer(self) -> Timer:
        """Paints what asks for it."""
        if self._frames is None:
            self._frames = Frames(self, PACE_S, name="frames", callback=self._on_timer_update, pause=True)
            self._frames._start()
            self._timers.add(self._frames)
        return self._frames

    def _on_screen_resume(self, event: ScreenResume) -> None:
        """As it opens it has its styles already; it waits for what its boxes ask for as they are made."""
        if self._drawn:
            return
        event.prevent_default()
        self.stack_updates += 1
        self.app._refresh_notifications()
        self._update_auto_focus()
        self.set_timer(MOMENT_S, self._open_up)

    def _on_screen_suspend(self) -> None:
        """What opens over it draws it too, and tells in its own place what is told still."""
        for child in self.children:
            if isinstance(child, ToastRack):
                child.display = False
        self._repaint_required = False

    def _open_up(self) -> None:
        if self.app._batch_count:
            self.set_timer(MOMENT_S, self._open_up)
        elif not self._drawn:
            self._laid_out_for = self.app.size
            self._refresh_layout(self._laid_out_for)
            self._drawn = True
            self._compositor_refresh()
            self.call_next(self.first_drawn)

    def _refresh_layout(self, size: Size | None = None, scroll: bool = False) -> None:
        """Laid out, once more where a scroll bar came or went, and drawn once; the library draws each layout, and lays out every box anew
        that is of another size since."""
        drawn, self._drawn = self._drawn, False
        for _ in range(MOST_LAYOUTS):
            bars = self._bars()
            super()._refresh_layout(size, scroll)
            for box in self._boxes():
                box._layout_required = False
            if bars == self._bars():
                break
        self._compositor.update_widgets(self._asked_for())
        self._drawn = drawn
        if self.is_current:
            self._compositor_refresh()

    def _boxes(self) -> Iterable[Widget]:
        """All there are, scroll bars too where they show."""
        return {*self.walk_children(Widget, with_self=True), *self._compositor.visible_widgets}

    def _bars(self) -> set[tuple[Widget, bool, bool]]:
        """Which scroll bars there are."""
        return {(box, *box.scrollbars_enabled) for box in self._boxes() if any(box.scrollbars_enabled)}

    def _asked_for(self) -> set[Widget]:
        """What asked for its drawing, which is about to be done."""
        asked = {box for box in self._boxes() if box._repaint_required}
        for box in asked:
            box._repaint_required = False
        return asked

    @property
    def at_rest(self) -> bool:
        """Whether nothing of it is under way."""
        return self.stands and not self._to_follow

    @property
    def stands(self) -> bool:
        """Whether it is drawn, and no work of it waits to begin: the next key is for what is seen."""
        return self._drawn and not any(work.node is self and work.state is WorkerState.PENDING for work in self.app.workers)

    def once_told(self, then: Callable[..., object], *given: object) -> None:
        """Done once the words told by now are painted: its boxes ask for that a moment later, for which the library alone doesn't wait."""
        self._to_follow += 1

        def follow() -> None:
            self._to_follow -= 1
            then(*given)

        self.set_timer(MOMENT_S, lambda: self.call_after_refresh(follow))

    async def first_drawn(self) -> None:
        """What may follow once the screen can be read."""

    def _screen_resized(self, size: Size) -> None:
        """Laid out for a size once: what asks for another layout since says so itself."""
        if self._drawn and size != self._laid_out_for:
            self._laid_out_for = size
            super()._screen_resized(size)

    def _on_timer_update(self) -> None:
        """All of it to draw, and laid out anew: once for both. What has just asked for its drawing is drawn with what asked before it."""
        if not self._message_queue.empty() and not self._put_off:
            self._put_off = self.call_later(self._on_timer_update)
            return
        self._put_off = False
        self._dirty_widgets |= self._asked_for()
        if self._layout_required and self._repaint_required and not self.app._batch_count:
            self._repaint_required = False
            self._dirty_widgets.add(self)
        super()._on_timer_update()

    def _compositor_refresh(self) -> None:
        if self.app._batch_count:
            self.set_timer(FRAME_S, self._compositor_refresh)
        elif self._drawn:
            super()._compositor_refresh()
