"""One writer at a time: a lock on a file, which holds between threads and between programs."""

import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

_THREADS: dict[Path, "_Held"] = {}
_GUARD = threading.Lock()


class _Held:
    """The lock between threads, and how many times its thread has taken it."""

    def __init__(self) -> None:
        self.lock = threading.RLock()
        self.depth = 0


@contextmanager
def locked(file: Path) -> Iterator[None]:
    """Hold the lock of a file, which is made where it is missing. Who holds it may take it again."""
    with _GUARD:
        own = _THREADS.setdefault(file, _Held())
    with own.lock:
        if own.depth:
            yield
            return
        file.parent.mkdir(parents=True, exist_ok=True)
        with file.open("a+b") as stream:
            _take(stream.fileno())
            own.depth = 1
            try:
                yield
            finally:
                own.depth = 0
                _give(stream.fileno())


if sys.platform == "win32":
    import msvcrt

    def _take(number: int) -> None:
        msvcrt.locking(number, msvcrt.LK_LOCK, 1)

    def _give(number: int) -> None:
        msvcrt.locking(number, msvcrt.LK_UNLCK, 1)
else:
    import fcntl

    def _take(number: int) -> None:
        fcntl.flock(number, fcntl.LOCK_EX)

    def _give(number: int) -> None:
        fcntl.flock(number, fcntl.LOCK_UN)
