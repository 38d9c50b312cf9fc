"""A sitting played again from its events, without a screen: what the state asks for is answered in this process."""

from __future__ import annotations

from collections import deque
from itertools import islice, takewhile
from pathlib import Path
from typing import TYPE_CHECKING

from layoutest.editor import events as ev
from layoutest.editor import requests as rq
from layoutest.editor.update import update
from layoutest.errors import UnreadableError
from layoutest.files.layout_read import read_layout
from layoutest.pack.plan import pack

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layoutest.editor.events import Event
    from layoutest.editor.requests import Request
    from layoutest.editor.state import State

_ANSWERS = (
    *(ev.LayoutOpened, ev.LayoutSaved, ev.ClipboardRead, ev.PathChosen),
    *(ev.ChooserMissing, ev.WorkerFailed, ev.Told),
)


def replayed(state: State, events: Sequence[Event]) -> State:
    """The state after some events. Stocks are packed at once; nothing is written, and no window is closed.

    What the state asks for is answered here unless the answer was recorded and follows.
    """
    clip = ""
    for number, event in enumerate(events, start=1):
        recorded = {type(answer) for answer in takewhile(_is_answer, islice(events, number, None))}
        ahead = deque([event])
        while ahead:
            state, requests = update(state, ahead.popleft())
            for request in requests:
                if isinstance(request, rq.WriteClipboard):
                    clip = request.text
                ahead.extend(answer for answer in _answers(request, clip) if type(answer) not in recorded)
    return state


def _is_answer(event: Event) -> bool:
    return isinstance(event, _ANSWERS)


def packed(state: State) -> State:
    """The state with the exact plan of every stock that is still packed quickly."""
    return replayed(state, [ev.Packed(pack(problem)) for problem in state.live.problems_to_pack()])


def _answers(request: Request, clip: str) -> list[Event]:
    match request:
        case rq.Pack(problems):
            return [ev.Packed(pack(problem)) for problem in problems]
        case rq.OpenLayout(path):
            return [opened(path)]
        case rq.SaveLayout(path, layout):
            return [ev.LayoutSaved(path, layout)]
        case rq.ReadClipboard():
            return [ev.ClipboardRead(clip)]
    return []


def opened(path: str) -> ev.LayoutOpened:
    """Read a layout for a window."""
    try:
        return ev.LayoutOpened(path, read_layout(Path(path)).layout)
    except UnreadableError as error:
        return ev.LayoutOpened(path, None, error.faults)
