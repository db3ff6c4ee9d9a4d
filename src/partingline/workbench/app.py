"""The application: routes behind the guard, the bench, and the thread that notices what changes outside."""

import asyncio
import secrets
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress
from pathlib import Path

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.middleware import Middleware

from partingline.workbench import files
from partingline.workbench.api import drafts, edits, shown
from partingline.workbench.bench import Bench
from partingline.workbench.events import Streams
from partingline.workbench.guard import Access, Guard
from partingline.workbench.pages import posts, views
from partingline.workbench.summaries import Summaries

_LOOK_EVERY_S = 0.1


def make_app(root: Path, *, host: str = "127.0.0.1", port: int = 8765, access_token: str = "") -> Starlette:
    """The workbench of a bench. Raises NotADirectoryError where there is none, ValueError for a unit's folder."""
    if not root.is_dir():
        raise NotADirectoryError(
            f"{root}: no such folder; expected a bench, a folder of units. Make it, or name another."
        )
    if (root / "unit.toml").is_file():
        raise ValueError(f"{root}: a unit's folder; expected the bench that it lies in. Serve {root.resolve().parent}.")
    access = Access(host, port, secrets.token_urlsafe(24), access_token)
    routes = [*files.routes(), *shown.routes(), *drafts.routes(), *edits.routes(), *posts.routes(), *views.routes()]
    app = Starlette(routes=routes, middleware=[Middleware(Guard, access=access)], lifespan=_running)
    app.state.access = access
    app.state.bench = Bench(root)
    app.state.summaries = Summaries(app.state.bench)
    app.state.streams = Streams()
    return app


@asynccontextmanager
async def _running(app: Starlette) -> AsyncIterator[None]:
    bench: Bench = app.state.bench
    _hide(bench.own)
    app.state.summaries.start()
    looking = asyncio.create_task(_look(bench))
    try:
        yield
    finally:
        looking.cancel()
        with suppress(asyncio.CancelledError):
            await looking
        app.state.summaries.stop()
        for unit in bench.open_units():
            unit.close()


async def _look(bench: Bench) -> None:
    """Notice edits by hand of every unit that someone looks at."""
    while True:
        await asyncio.sleep(_LOOK_EVERY_S)
        for unit in bench.open_units():
            if unit.hub.people:
                with suppress(OSError, ValueError):
                    await run_in_threadpool(unit.follow)


def _hide(own: Path) -> None:
    """Keep what is derived out of version control."""
    own.mkdir(exist_ok=True)
    ignore = own / ".gitignore"
    if not ignore.exists():
        ignore.write_text("*\n", encoding="utf-8")
