"""Long work in the background: one at a time a unit, with progress, can be cancelled, known until the server ends."""

import threading
import uuid
from collections import OrderedDict
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import Any

from partingline.workbench.events import Hub

_KEPT = 50
_MOST_WAITING = 16


class CancelledError(Exception):
    """Someone cancelled the job."""


@dataclass
class Job:
    """One piece of work. `done` is 0 to 1, `doing` what it is at."""

    kind: str
    id: str = field(default_factory=lambda: uuid.uuid4().hex[:12])
    state: str = "waiting"
    done: float = 0.0
    doing: str = ""
    result: Any = None
    error: str | None = None
    _cancel: threading.Event = field(default_factory=threading.Event)

    def record(self) -> dict[str, Any]:
        """What is told of it."""
        names = ("id", "kind", "state", "done", "doing", "result", "error")
        return {name: getattr(self, name) for name in names}


Progress = Callable[[float, str], None]
"""Called by the work between its steps; raises CancelledError where it should stop."""
Work = Callable[[Progress], Any]


class Jobs:
    """The jobs of one unit."""

    def __init__(self, hub: Hub) -> None:
        self._hub = hub
        self._jobs: OrderedDict[str, Job] = OrderedDict()
        self._lock = threading.Lock()
        self._pool = ThreadPoolExecutor(1, thread_name_prefix="partingline-job")

    def start(self, kind: str, work: Work) -> Job | None:
        """Start a job, or let it wait; None where too many wait."""
        with self._lock:
            if sum(job.state in ("waiting", "running") for job in self._jobs.values()) >= _MOST_WAITING:
                return None
            job = Job(kind)
            self._jobs[job.id] = job
            while len(self._jobs) > _KEPT:
                self._jobs.popitem(last=False)
        self._tell(job)
        self._pool.submit(self._run, job, work)
        return job

    def find(self, id_: str) -> Job | None:
        """A job by its id."""
        return self._jobs.get(id_)

    def all(self) -> list[Job]:
        """The jobs, latest first."""
        with self._lock:
            return list(reversed(self._jobs.values()))

    def cancel(self, job: Job) -> None:
        """Ask a job to stop: at once where it waits, else after its present step."""
        job._cancel.set()
        if job.state == "waiting":
            self._end(job, "cancelled")

    def close(self) -> None:
        """Cancel everything."""
        for job in self.all():
            job._cancel.set()
        self._pool.shutdown(wait=False, cancel_futures=True)

    def _run(self, job: Job, work: Work) -> None:
        def progress(done: float, doing: str) -> None:
            if job._cancel.is_set():
                raise CancelledError
            job.state, job.done, job.doing = "running", done, doing
            self._tell(job)

        try:
            progress(0.0, "starting")
            job.result = work(progress)
            job.done = 1.0
            self._end(job, "done")
        except CancelledError:
            self._end(job, "cancelled")
        except Exception as error:  # whatever the work meets is said with the job
            job.error = f"{type(error).__name__}: {error}"
            self._end(job, "failed")

    def _end(self, job: Job, state: str) -> None:
        job.state, job.doing = state, ""
        self._tell(job)

    def _tell(self, job: Job) -> None:
        self._hub.tell("job", job.record())
