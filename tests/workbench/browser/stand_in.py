"""A small server with the interface of docs/workbench.md over one invented unit in memory: pages, fields, parts, marks,
facts, tiles, a log, a recording, jobs and events. It lets the front end be tested alone, with every answer at hand."""

import asyncio
import io
import json
import math
from collections.abc import AsyncIterator
from pathlib import Path
from typing import Any

from PIL import Image, ImageDraw
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, Response, StreamingResponse
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

import partingline.publish.look as look
from tests.workbench.browser.desk import COLUMNS, NASTY, Desk, conflict, version
from tests.workbench.browser.pages import page

SOURCE = Path(look.__file__).parents[1]
STATIC = SOURCE / "workbench" / "static"
CSP = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
SIZE = (1600, 1000)
TILE = 512
API = "/api/unit/tern-65"


class StandIn:
    """The server over one desk."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk

    async def show(self, request: Request) -> Response:
        return HTMLResponse(page(self.desk, request.path_params["page"]), headers={"Content-Security-Policy": CSP})

    async def style(self, request: Request) -> Response:
        def tokens(colours: dict[str, str]) -> str:
            return ";".join(f"--{name}:{value}" for name, value in colours.items())

        folder = SOURCE / "publish" / "html" / "style"
        text = (
            (folder / "page.css")
            .read_text(encoding="utf-8")
            .replace("/*light*/", tokens(look.LIGHT))
            .replace("/*dark*/", tokens(look.DARK))
        )
        faces = ":root{--text:serif;--figures:sans-serif}"
        return Response(text + faces + (folder / "blocks.css").read_text(encoding="utf-8"), media_type="text/css")

    async def patch_unit(self, request: Request) -> Response:
        edit = await request.json()
        assert edit["value"], "an emptied field is null, and the stand-in's fields are never taken away"
        key = json.dumps(edit["path"], separators=(",", ":"))
        there = self.desk.fields.get(key)
        if edit["base"] != (version(there) if there is not None else "absent"):
            return conflict("unit.toml", edit["path"], edit["value"], there)
        return JSONResponse(self.desk.set_field(edit["path"], edit["value"], edit.get("who", "someone here")))

    async def parts(self, request: Request) -> Response:
        if request.method == "GET":
            return JSONResponse(
                {"columns": COLUMNS, "rows": [{"ref": row["ref"]} for row in self.desk.parts], "state": self.desk.state}
            )
        edit = await request.json()
        if request.method == "POST":
            new = [{c: row.get(c, "") for c in COLUMNS} for row in edit["rows"]]
            self.desk.parts += new
            return JSONResponse({"rows": [self.desk.changed("parts.csv", [row["ref"]], None, None) for row in new]})
        row = next(r for r in self.desk.parts if r["ref"] == edit["ref"])
        if request.method == "DELETE":
            self.desk.parts.remove(row)
            return JSONResponse(self.desk.changed("parts.csv", [row["ref"]], None, None))
        before = row[edit["column"]]
        if version(before) != edit["base"]:
            return conflict("parts.csv", [edit["ref"], edit["column"]], edit["value"], before)
        row[edit["column"]] = edit["value"]
        return JSONResponse(self.desk.changed("parts.csv", [edit["ref"], edit["column"]], before, edit["value"]))

    async def marks(self, request: Request) -> Response:
        if request.method == "GET":
            told = [{"annotation": a, "version": version(a)} for a in self.desk.marks.values()]
            return JSONResponse({"marks": told, "state": self.desk.state})
        edit = await request.json()
        name = edit["annotation"]["id"] if request.method == "PUT" else edit["id"]
        there = self.desk.marks.get(name)
        if edit["base"] != (version(there) if there else "absent"):
            return conflict("photos/marks.json", [name], edit.get("annotation"), there)
        if request.method == "PUT":
            self.desk.marks[name] = edit["annotation"]
        else:
            del self.desk.marks[name]
        return JSONResponse(self.desk.changed("photos/marks.json", [name], there, edit.get("annotation")))

    async def undo(self, request: Request) -> Response:
        file, path, before, after = self.desk.history[(await request.json())["entry"]]
        if self.desk.fields[json.dumps(path, separators=(",", ":"))] != after:
            return conflict(file, path, before, after)
        return JSONResponse(self.desk.set_field(path, before))

    async def fact(self, request: Request) -> Response:
        self.desk.asked.append(request.path_params["key"])
        evidence = {
            "text": "unit.toml, line 20",
            "path": "unit.toml",
            "href": "/unit/tern-65/outside?line=20",
            "place": {"kind": "line"},
        }
        said = {
            "route": "measured",
            "sense": "equals",
            "standing": "supported",
            "shown": "118.4 ± 0.1 g",
            "said": NASTY,
            "note": "",
        }
        spoken = {
            **said,
            "route": "spoken",
            "standing": "contradicted",
            "shown": "181 g",
            "formula": None,
            "source": None,
            "inputs": [],
            "evidence": [],
        }
        formula = {"id": "mass", "summary": "what the balance shows"}
        measured = {**said, "formula": formula, "source": "common practice", "inputs": [], "evidence": [evidence]}
        whole = {
            "id": "unit/mass",
            "name": "mass",
            "shown": "118.4 ± 0.1 g",
            "standing": "contradicted",
            "preferred_because": "",
        }
        return JSONResponse({**whole, "statements": [measured, spoken], "used_by": [], "leads_to": []})

    async def marking(self, request: Request) -> Response:
        reading = {
            "says": f"read: {request.query_params['text']}",
            "source": "IEC 60062",
            "evidence": "read",
            "fits": True,
            "unread": "",
        }
        return JSONResponse({"readings": [reading]})

    async def info(self, request: Request) -> Response:
        width, height = SIZE
        levels = math.ceil(math.log2(max(SIZE))) + 1
        address = f"/unit/tern-65/photos/{request.path_params['name']}/tiles/{{z}}/{{x}}_{{y}}.jpg"
        return JSONResponse(
            {"width": width, "height": height, "tile": TILE, "overlap": 0, "levels": levels, "url": address}
        )

    async def tile(self, request: Request) -> Response:
        z, x, y = (request.path_params[n] for n in ("z", "x", "y"))
        shrink = 2 ** (math.ceil(math.log2(max(SIZE))) - z)
        size = [min(TILE, math.ceil(n / shrink) - at * TILE) for n, at in zip(SIZE, (x, y), strict=True)]
        picture = Image.new("RGB", (max(1, size[0]), max(1, size[1])), "#2b4a3c")
        ImageDraw.Draw(picture).rectangle((0, 0, size[0] // 3, size[1] // 4), fill="#c9a15a")
        data = io.BytesIO()
        picture.save(data, "JPEG")
        return Response(data.getvalue(), media_type="image/jpeg")

    async def log(self, request: Request) -> Response:
        t = [float(i) for i in range(200)]
        power = {
            "quantity": "input_power",
            "name": "input power",
            "unit": "W",
            "values": [70 * math.sin(i / 60) ** 2 for i in t],
        }
        volts = {"quantity": "port_voltage", "name": "port voltage", "unit": "V", "values": [20.1 - i / 900 for i in t]}
        return JSONResponse({"kind": "load sweep", "conditions": {}, "t_s": t, "series": [power, volts]})

    async def capture(self, request: Request) -> Response:
        messages = [{"t_s": 900.0, "end_s": 900.4, "from": "source", "name": "Source_Capabilities", "valid": True}]
        channels = [{"name": "vbus", "unit": "V"}, {"name": "cc1", "unit": "V"}]
        contracts = [{"from_s": 901.0, "to_s": 3600.0, "text": "20 V 3.25 A"}]
        return JSONResponse(
            {"rate_hz": 1e6, "duration_s": 3600.0, "channels": channels, "messages": messages, "contracts": contracts}
        )

    async def levels(self, request: Request) -> Response:
        query = request.query_params
        self.desk.asked.append(f"levels {float(query['from']):.0f} {float(query['to']):.0f}")
        start, end, n = float(query["from"]), float(query["to"]), 400
        t = [start + (end - start) * i / n for i in range(n)]
        mean = [5.0 if at < 900 else 20.0 for at in t]
        told = {"t_s": t, "low": [m - 0.1 for m in mean], "high": [m + 0.1 for m in mean], "mean": mean}
        return JSONResponse({"channel": query["channel"], "unit": "V", **told})

    async def jobs(self, request: Request) -> Response:
        if request.method == "POST":
            job = {
                "id": f"j{len(self.desk.jobs)}",
                "kind": (await request.json())["kind"],
                "state": "running",
                "done": 0.4,
                "doing": "judging",
                "result": None,
                "error": None,
            }
            self.desk.jobs[job["id"]] = job
            return JSONResponse(job, 202)
        return JSONResponse({"jobs": list(self.desk.jobs.values())})

    async def cancel(self, request: Request) -> Response:
        job = self.desk.jobs[request.path_params["job"]]
        job["state"] = "cancelled"
        self.desk.tell("job", job)
        return JSONResponse(job)

    async def upload(self, request: Request) -> Response:
        name = request.path_params["name"]
        if name in self.desk.uploads:
            return JSONResponse(
                {
                    "error": {
                        "place": name,
                        "found": "a file of that name",
                        "expected": "a new name",
                        "next_step": "Rename it.",
                    }
                },
                409,
            )
        self.desk.uploads[name] = await request.body()
        return JSONResponse({"path": f"logs/{name}", "bytes": len(self.desk.uploads[name]), "sha256": ""}, 201)

    async def events(self, request: Request) -> Response:
        stream: asyncio.Queue[tuple[str, Any]] = asyncio.Queue()

        async def lines() -> AsyncIterator[str]:
            self.desk.streams.add(stream)
            try:
                hello = {"state": self.desk.state, "people": len(self.desk.streams), "jobs": []}
                yield f"event: hello\ndata: {json.dumps(hello)}\n\n"
                while True:
                    event, data = await stream.get()
                    yield f"event: {event}\ndata: {json.dumps(data)}\n\n"
            finally:
                self.desk.streams.discard(stream)

        return StreamingResponse(lines(), media_type="text/event-stream")

    def application(self) -> Starlette:
        """Every address of the interface that the bundle asks."""
        routes = [
            Route("/unit/tern-65/{page}", self.show),
            Route("/style.css", self.style),
            Mount("/static", StaticFiles(directory=STATIC)),
            Route("/unit/tern-65/photos/{name}/tiles/info.json", self.info),
            Route("/unit/tern-65/photos/{name}/tiles/{z:int}/{x:int}_{y:int}.jpg", self.tile),
            Route("/unit/tern-65/photos/{name}/small.jpg", lambda r: Response(b"", 404)),
            Route(f"{API}/unit.toml", self.patch_unit, methods=["PATCH"]),
            Route(f"{API}/parts", self.parts, methods=["GET", "PATCH", "POST", "DELETE"]),
            Route(f"{API}/marks", self.marks, methods=["GET", "PUT", "DELETE"]),
            Route(f"{API}/undo", self.undo, methods=["POST"]),
            Route(f"{API}/facts/{{key:path}}", self.fact),
            Route("/api/marking", self.marking),
            Route(f"{API}/logs/{{name}}", self.log),
            Route(f"{API}/captures/{{name}}", self.capture),
            Route(f"{API}/captures/{{name}}/levels", self.levels),
            Route(f"{API}/jobs", self.jobs, methods=["GET", "POST"]),
            Route(f"{API}/jobs/{{job}}", self.cancel, methods=["DELETE"]),
            Route(f"{API}/uploads/logs/{{name}}", self.upload, methods=["PUT"]),
            Route(f"{API}/events", self.events),
        ]
        return Starlette(routes=routes)
