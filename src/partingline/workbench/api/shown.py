"""What is shown of a unit: bench, facts, findings, markings, captures, logs; uploads, jobs and events."""

from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response, StreamingResponse
from starlette.routing import Route

from partingline.facts.show import key_text
from partingline.findings.next_steps import next_steps
from partingline.model import Key
from partingline.workbench import signals, work
from partingline.workbench.api.answers import AnswerError, answering, hold_token, needed, number_of, refusal, unit_of
from partingline.workbench.api.evidence import fact_record, short_record
from partingline.workbench.bench import Bench
from partingline.workbench.editing import ABSENT
from partingline.workbench.editing.toml_form import TomlForm
from partingline.workbench.pages.places import inside
from partingline.workbench.summaries import Summaries
from partingline.workbench.uploads import ENDINGS, keep

_MOST_MESSAGES = 5000


def routes() -> list[Route]:
    """The addresses that show and start."""
    at = "/api/unit/{id}"
    return [
        Route("/api/bench", answering(_bench), methods=["GET"]),
        Route("/api/bench", answering(_make), methods=["POST"]),
        Route("/api/marking", answering(_marking), methods=["GET"]),
        Route(at, answering(_unit), methods=["GET"]),
        Route(f"{at}/facts", answering(_facts), methods=["GET"]),
        Route(f"{at}/facts/{{key:path}}", answering(_fact), methods=["GET"]),
        Route(f"{at}/findings", answering(_findings), methods=["GET"]),
        Route(f"{at}/captures/{{name}}", answering(_capture), methods=["GET"]),
        Route(f"{at}/captures/{{name}}/levels", answering(_levels), methods=["GET"]),
        Route(f"{at}/logs/{{name}}", answering(_log), methods=["GET"]),
        Route(f"{at}/logs/{{name}}/read", answering(_log_read), methods=["GET"]),
        Route(f"{at}/uploads/{{folder}}/{{name}}", _upload, methods=["PUT"]),
        Route(f"{at}/jobs", answering(_jobs), methods=["GET"]),
        Route(f"{at}/jobs", answering(_start), methods=["POST"]),
        Route(f"{at}/jobs/{{job}}", answering(_job), methods=["GET"]),
        Route(f"{at}/jobs/{{job}}", answering(_cancel), methods=["DELETE"]),
        Route(f"{at}/events", _events, methods=["GET"]),
    ]


def _bench(request: Request) -> Any:
    summaries: Summaries = request.app.state.summaries
    return {"units": summaries.all()}


def _make(request: Request, told: dict[str, Any]) -> Any:
    bench: Bench = request.app.state.bench
    return 201, {"id": bench.make(needed(told, "id", str)).id}


def _marking(request: Request) -> Any:
    from partingline.publish.records import marking_record
    from partingline.readers.markings import decode_marking

    text, kind = request.query_params.get("text", "")[:200], request.query_params.get("kind", "")[:60] or None
    return marking_record(text, kind, decode_marking(text, kind) if text.strip() else ())


def _unit(request: Request) -> Any:
    unit = unit_of(request)
    shown = unit.current()
    told = shown.opened.unit
    steps = next_steps(shown.findings, shown.opened.book)
    return {
        "id": unit.id, "name": told.name, "title": told.title or told.kind, "invented": told.invented,
        "state": shown.state, "lead": shown.lead, "counts": shown.counts, "people": unit.hub.people,
        "next_steps": [{"fact": s.key.id, "name": key_text(s.key), "what": s.what} for s in steps],
        "problems": [str(problem) for problem in shown.opened.problems],
    }  # fmt: skip


def _facts(request: Request) -> Any:
    shown = unit_of(request).current()
    return {"facts": [short_record(fact) for fact in shown.opened.book.facts()], "state": shown.state}


def _fact(request: Request) -> Any:
    unit = unit_of(request)
    try:
        key = Key.parse(request.path_params["key"])
    except ValueError as error:
        raise AnswerError(400, "key", str(error)[:200], "SUBJECT/QUANTITY", "Take it from a link.") from error
    with unit.reading:
        shown = unit.current()
        fact = shown.opened.book.fact(key)
        if fact is None:
            found = "nothing says or computes it"
            raise AnswerError(404, key.id[:200], found, "a fact of the unit", "Look at the facts.")
        return fact_record(unit.id, shown, fact)


def _findings(request: Request) -> Any:
    from partingline.publish.records import check_record

    unit = unit_of(request)
    with unit.reading:
        shown = unit.current()
        record: dict[str, Any] = {**check_record(shown.opened, shown.findings)}
    record.pop("facts")
    return {**record, "state": shown.state}


def _found_capture(request: Request) -> Any:
    unit, name = unit_of(request), request.path_params["name"]
    captures = unit.current().opened.captures
    capture = captures.get(f"captures/{name}") or captures.get(name)
    if capture is None:
        raise AnswerError(404, name[:100], "no such recording", "a file in captures/", "Look at the unit's ports.")
    return capture


def _capture(request: Request) -> Any:
    capture = _found_capture(request)
    end = float(capture.duration_s or 0.0)
    start, stop = number_of(request, "from", 0.0, 0.0, 1e9), number_of(request, "to", end, 0.0, 1e9)
    talk = capture.conversation
    events = [event for event in talk.events if event.end_s >= start and event.start_s <= stop]
    names = {channel.name: channel.unit for channel in capture.recording.channels} if capture.recording else {}
    return {
        "rate_hz": capture.rate_hz,
        "duration_s": capture.duration_s,
        "channels": [{"name": name, "unit": names.get(name, "V")} for name in capture.channels],
        "messages": [
            {
                "t_s": event.start_s, "end_s": event.end_s, "from": event.sender,
                "name": event.content.name if event.content else "damaged", "valid": event.content is not None,
            }
            for event in events[:_MOST_MESSAGES]
        ],
        "contracts": [
            {"from_s": one.ready_s, "to_s": one.end_s, "text": one.text}
            for one in talk.contracts
            if one.ready_s is not None
        ],
    }  # fmt: skip


def _levels(request: Request) -> Any:
    unit, capture = unit_of(request), _found_capture(request)
    channel = request.query_params.get("channel", "")
    start = number_of(request, "from", 0.0, 0.0, 1e9)
    stop = number_of(request, "to", float(capture.duration_s or 0.0), 0.0, 1e9)
    points = int(number_of(request, "points", 1200, 2, 4000))
    told = signals.levels(capture, channel, start, stop, points, unit.cache)
    if told is None:
        expected = f"one of {', '.join(capture.channels)}"
        raise AnswerError(404, "channel", f"{channel!r:.60}", expected, "Choose a channel.")
    return told


def _log(request: Request) -> Any:
    unit, name = unit_of(request), request.path_params["name"]
    log = next((one for one in unit.current().opened.logs if one.path == f"logs/{name}"), None)
    if log is None:
        step = "Say in logs.toml what it is."
        raise AnswerError(404, name[:100], "no log of that name is read", "a log named in logs.toml", step)
    return signals.log_series(log, int(number_of(request, "points", 2000, 10, 20000)))


def _log_read(request: Request) -> Any:
    """What a log holds, named in logs.toml or not yet: columns, segments, facts; and where its entry stands."""
    from partingline.publish.records.log import log_record

    unit, name = unit_of(request), request.path_params["name"]
    inside(unit.root, f"logs/{name}")
    if not name.lower().endswith(ENDINGS["logs"]):
        raise AnswerError(415, name[:100], "no log", f"one of {', '.join(ENDINGS['logs'])}", "Look at logs/.")
    record: dict[str, Any] = {**log_record(unit.one_log(name))}
    form, text = TomlForm("logs/logs.toml"), unit.writer.read("logs/logs.toml")
    rows = [one for one, _, _ in form.rows(text) if form.look(text, (*one, "file"))[0] == name]
    if not rows:
        return {**record, "path": ["log", "+"], "entry": {}, "columns_version": ABSENT, "state": unit.state}
    entry, columns = form.look(text, rows[0])[0], form.look(text, (*rows[0], "columns"))[1]
    return {**record, "path": list(rows[0]), "entry": entry, "columns_version": columns, "state": unit.state}


async def _upload(request: Request) -> Response:
    try:
        hold_token(request, request.headers.get("x-partingline", ""))
        unit = unit_of(request)
        folder, name = request.path_params["folder"], request.path_params["name"]
        kept = await keep(unit.root, folder, name, request.stream())
        await run_in_threadpool(unit.current)
        return JSONResponse({"path": kept.path, "bytes": kept.bytes, "sha256": kept.sha256}, 201)
    except AnswerError as error:
        return refusal(error)


def _jobs(request: Request) -> Any:
    return {"jobs": [job.record() for job in unit_of(request).jobs.all()]}


def _start(request: Request, told: dict[str, Any]) -> Any:
    unit = unit_of(request)
    job = unit.jobs.start(*work.named(unit, told))
    if job is None:
        raise AnswerError(429, "jobs", "too many jobs wait", "at most 16", "Wait, or cancel one.")
    return 202, job.record()


def _found_job(request: Request) -> Any:
    job = unit_of(request).jobs.find(request.path_params["job"])
    if job is None:
        raise AnswerError(404, "job", "no such job", "a job of this unit since the server began", "Start it again.")
    return job


def _job(request: Request) -> Any:
    return _found_job(request).record()


def _cancel(request: Request, told: dict[str, Any]) -> Any:
    job = _found_job(request)
    unit_of(request).jobs.cancel(job)
    return job.record()


async def _events(request: Request) -> Response:
    try:
        unit = unit_of(request)
    except AnswerError as error:
        return refusal(error)
    streams, address = request.app.state.streams, request.client.host if request.client else ""
    if not streams.take(address):
        full = AnswerError(503, "events", "too many streams are open", "fewer", "Close a page and try again.")
        answer = refusal(full)
        answer.headers["retry-after"] = "5"
        return answer
    await run_in_threadpool(unit.current)
    told = request.headers.get("last-event-id", "")
    last = int(told) if told.isdecimal() and len(told) < 12 else None

    async def stream() -> Any:
        try:
            async for text in unit.hub.listen(last, lambda: {"state": unit.state, "jobs": _records(unit)}):
                yield text
        finally:
            streams.give(address)

    return StreamingResponse(stream(), media_type="text/event-stream", headers={"x-accel-buffering": "no"})


def _records(unit: Any) -> list[dict[str, Any]]:
    return [job.record() for job in unit.jobs.all()[:10]]
