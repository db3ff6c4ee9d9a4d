"""Server-sent events of a unit: what happened, in order, to everyone who looks at it; bounded everywhere."""

import asyncio
import json
import threading
from collections import Counter, deque
from collections.abc import AsyncIterator
from typing import Any

MOST_STREAMS = 256
MOST_FROM_ONE = 64
_KEPT = 512
_WAITING = 128
_SILENCE_S = 15.0
Event = tuple[int, str, str]


class Streams:
    """How many streams are open, in all and from each address."""

    def __init__(self, most: int = MOST_STREAMS, most_from_one: int = MOST_FROM_ONE) -> None:
        self.most, self.most_from_one = most, most_from_one
        self.open: Counter[str] = Counter()

    def take(self, address: str) -> bool:
        """Whether there is room for one more."""
        if self.open.total() >= self.most or self.open[address] >= self.most_from_one:
            return False
        self.open[address] += 1
        return True

    def give(self, address: str) -> None:
        """One has closed."""
        self.open[address] -= 1
        self.open += Counter()


class Hub:
    """The events of one unit. `tell` may be called from any thread."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._number = 0
        self._kept: deque[Event] = deque(maxlen=_KEPT)
        self._readers: dict[asyncio.Queue[Event | None], asyncio.AbstractEventLoop] = {}

    @property
    def people(self) -> int:
        """How many look at the unit."""
        return len(self._readers)

    def tell(self, name: str, data: Any) -> None:
        """Send an event to everyone."""
        with self._lock:
            self._number += 1
            event = (self._number, name, json.dumps(data, ensure_ascii=False))
            self._kept.append(event)
            readers = list(self._readers.items())
        for queue, loop in readers:
            if not loop.is_closed():
                loop.call_soon_threadsafe(_put, queue, event)

    async def listen(self, last: int | None, hello: Any) -> AsyncIterator[str]:
        """The stream of one reader, as text; it ends where the reader is too slow."""
        queue: asyncio.Queue[Event | None] = asyncio.Queue(_WAITING)
        with self._lock:
            missed = [event for event in self._kept if last is not None and event[0] > last]
            whole = last is not None and last <= self._number and len(missed) == self._number - last
            number = self._number
            self._readers[queue] = asyncio.get_running_loop()
        try:
            self.tell("people", {"people": self.people})
            if whole:
                for event in missed:
                    yield _written(event)
            else:
                yield _written((number, "hello", json.dumps({**hello(), "people": self.people}, ensure_ascii=False)))
            while True:
                try:
                    told = await asyncio.wait_for(queue.get(), _SILENCE_S)
                except TimeoutError:
                    yield ": still here\n\n"
                    continue
                if told is None:
                    return
                yield _written(told)
        finally:
            with self._lock:
                self._readers.pop(queue, None)
            self.tell("people", {"people": self.people})

    def close(self) -> None:
        """End every stream."""
        with self._lock:
            readers = list(self._readers.items())
        for queue, loop in readers:
            if not loop.is_closed():
                loop.call_soon_threadsafe(_end, queue)


def _put(queue: asyncio.Queue[Event | None], event: Event) -> None:
    """An event for a reader; one that lets too many wait is sent away, to come back with the last it has seen."""
    if queue.qsize() >= _WAITING - 1:
        _end(queue)
    else:
        queue.put_nowait(event)


def _end(queue: asyncio.Queue[Event | None]) -> None:
    while not queue.empty():
        queue.get_nowait()
    queue.put_nowait(None)


def _written(event: Event) -> str:
    number, name, data = event
    return f"id: {number}\nevent: {name}\ndata: {data}\n\n"
