"""What a hostile page, link, file or program tries against the workbench, on loopback, bounded in count and time."""

import asyncio
import contextlib
import http.client
import json
import re
import shutil
import socket
import struct
import time
import tomllib
import zlib
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import httpx
import pytest
import tomlkit

from partingline.workbench.app import make_app
from partingline.workbench.events import Streams
from partingline.workbench.pages.contents import PAGES
from tests.workbench.conftest import DEMO, Served, serving

SCRIPT = "<script>alert(1)</script><img src=x onerror=alert(2)>"
U = "/api/unit/tern-65"


def _raw(served: Served, method: str, target: str, headers: dict[str, str], body: bytes = b"") -> tuple[int, bytes]:
    """A request whose target and headers no client library tidies up."""
    host = served.address.removeprefix("http://")
    connection = http.client.HTTPConnection(host, timeout=60)
    connection.putrequest(method, target, skip_host=True, skip_accept_encoding=True)
    for name, value in {"Host": host, "Content-Length": str(len(body)), **headers}.items():
        connection.putheader(name, value)
    connection.endheaders(body)
    answer = connection.getresponse()
    told = answer.status, answer.read()
    connection.close()
    return told


@pytest.mark.parametrize(
    "host", ["evil.example", "evil.example:80", "127.0.0.1.evil.example", "127.0.0.1", "", "a@127.0.0.1"]
)
def test_a_foreign_host_is_turned_away(served: Served, host: str) -> None:
    status, body = _raw(served, "GET", "/", {"Host": host})
    assert status in (400, 403)
    assert b"tern" not in body


def test_without_a_token_a_literal_address_is_no_own_host(served: Served) -> None:
    port = served.address.rpartition(":")[2]
    assert _raw(served, "GET", "/", {"Host": f"192.0.2.9:{port}"})[0] == 403


@pytest.mark.parametrize("origin", ["http://evil.example", "null", "http://127.0.0.1:1", "https://127.0.0.1"])
def test_a_forged_origin_changes_nothing(served: Served, origin: str) -> None:
    before = (served.unit / "unit.toml").read_bytes()
    body = json.dumps({"path": ["unit", "notes"], "value": "x", "base": "absent"}).encode()
    headers = {"Origin": origin, "X-Partingline": served.token, "Content-Type": "application/json"}
    assert _raw(served, "PATCH", f"{U}/unit.toml", headers, body)[0] == 403
    assert (served.unit / "unit.toml").read_bytes() == before


def test_a_change_without_the_pages_token_is_turned_away(served: Served) -> None:
    with httpx.Client(base_url=served.address, trust_env=False, timeout=60) as stranger:
        for headers in ({}, {"X-Partingline": "guess"}, {"Origin": served.address}):
            answer = stranger.patch(f"{U}/unit.toml", json={"path": ["unit", "notes"]}, headers=headers)
            assert answer.status_code == 403
            assert stranger.post("/new", data={"id": "x"}, headers=headers).status_code == 403
            assert stranger.put(f"{U}/uploads/words/a.md", content=b"x", headers=headers).status_code == 403
    assert not (served.bench / "x").exists()


def test_a_form_of_another_site_is_turned_away_even_with_the_token(served: Served) -> None:
    headers = {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate"}
    assert served.page.post("/new", data={"id": "x", "token": served.token}, headers=headers).status_code == 403


@pytest.mark.parametrize(
    "target",
    [
        "/unit/tern-65/files/../../../../etc/passwd",
        "/unit/tern-65/files/%2e%2e/%2e%2e/%2e%2e/etc/passwd",
        "/unit/tern-65/files//etc/passwd",
        "/unit/tern-65/files/..%2f..%2f..%2fetc%2fpasswd",
        "/unit/tern-65/files/unit.toml%00.png",
        "/unit/tern-65/files/photos",
        "/unit/tern-65/source?path=../../../../etc/passwd&line=1",
        "/unit/tern-65/source?path=/etc/passwd&line=1",
        "/unit/../outside",
        "/unit/%2e%2e/outside",
        "/unit/..%2f..%2fetc/outside",
        "/unit/.partingline/outside",
        "/unit/tern-65/photos/..%2funit.toml/small.jpg",
        "/unit/tern-65/photos/../unit.toml/small.jpg",
        "/unit/tern-65/report/../unit.toml",
        "/unit/tern-65/report/..%2funit.toml",
        "/static/../app.py",
        "/static/..%2fapp.py",
        "/fonts/..%2fOFL-source-serif-4.txt",
        f"{U}/text/..%2funit.toml",
        f"{U}/text/words/..%2f..%2fx.md",
        f"{U}/logs/..%2f..%2funit.toml",
        f"{U}/captures/..%2funit.toml",
        f"{U}/facts/..%2f..%2fetc",
        f"{U}/logs/..%2f..%2funit.toml/read",
        f"{U}/logs/%2e%2e%2funit.toml/read",
        f"{U}/captures/..%2f..%2fetc/levels",
        "/unit/tern-65/photos/..%2funit.toml/tiles/info.json",
        "/unit/tern-65/photos/body.jpg/tiles/..%2f..%2f0/0_0.jpg",
        "/static/%2e%2e%2f%2e%2e%2fapp.py",
        "/icon.svg/../../app.py",
    ],
)
def test_no_path_leads_out(served: Served, target: str) -> None:
    status, body = _raw(served, "GET", target, {})
    assert b"root:" not in body
    assert b"[unit]" not in body
    assert b"import " not in body
    assert status in (400, 403, 404, 415, 422), body[:200]


def test_links_that_lead_out_are_not_followed(tmp_path: Path) -> None:
    secret = tmp_path / "secret"
    secret.mkdir()
    (secret / "words.md").write_text("the secret", encoding="utf-8")
    shutil.copy(DEMO / "photos" / "body.jpg", secret / "body.jpg")
    bench = tmp_path / "bench"
    shutil.copytree(DEMO, bench / "tern-65")
    (bench / "tern-65" / "words" / "notes.md").symlink_to(secret / "words.md")
    (bench / "tern-65" / "photos" / "theirs.jpg").symlink_to(secret / "body.jpg")
    (bench / "elsewhere").symlink_to(secret)
    running = serving(bench)
    served = next(running)
    try:
        for target in ("files/words/notes.md", "source?path=words/notes.md&line=1", "photos/theirs.jpg/small.jpg"):
            answer = served.page.get(f"/unit/tern-65/{target}")
            assert answer.status_code in (404, 415, 422)
            assert "the secret" not in answer.text
        assert served.page.get(f"{U}/text/words/notes.md").status_code == 422
        assert served.page.get("/unit/elsewhere/outside").status_code == 404
        assert "elsewhere" not in served.page.get("/").text
    finally:
        running.close()


def test_script_in_every_text_and_file_name_stays_text(tmp_path: Path) -> None:
    bench = tmp_path / "bench"
    unit = bench / "tern-65"
    shutil.copytree(DEMO, unit)
    text = (unit / "unit.toml").read_text(encoding="utf-8")
    quoted = json.dumps(SCRIPT)
    hostile_keys = ("maker", "model", "title", "material", "name")
    lines = [f"{x.partition('=')[0]}= {quoted}" if x.startswith(hostile_keys) else x for x in text.splitlines()]
    lines += ["[[reading]]", f"subject = {quoted}", 'quantity = "mass"', f"value = {quoted}", f"note = {quoted}", ""]
    (unit / "unit.toml").write_text("\n".join(lines), encoding="utf-8")
    with (unit / "parts.csv").open("a", encoding="utf-8") as parts:
        parts.write(";".join(f'"{SCRIPT} {n}"' for n in range(14)) + "\n")
    (unit / "words" / "listing.md").write_text(f"- 65 W on {SCRIPT}\n- {SCRIPT}\n", encoding="utf-8")
    shutil.copy(unit / "photos" / "body.jpg", unit / "photos" / '"><img src=x onerror=alert(3)>.jpg')
    (unit / "logs" / "<b onclick=alert(4)>.csv").write_text("a,b\n1,2\n", encoding="utf-8")
    running = serving(bench)
    served = next(running)
    try:
        pages = [
            "outside",
            "ports",
            "measurements",
            "opening",
            "boards",
            "parts",
            "converter",
            "spacing",
            "findings",
            "words",
            "publish",
            "history",
        ]
        asked = ["/", *(f"/unit/tern-65/{page}" for page in pages), "/unit/tern-65/source?path=unit.toml&line=9"]
        asked += [f"/unit/tern-65/fact?key={SCRIPT}/mass", "/?find=" + SCRIPT, f"/unit/{SCRIPT}/outside"]
        for target in asked:
            body = served.page.get(target).text
            for hostile in ("<script>alert", "<img src=x", "<b onclick"):
                assert hostile not in body, target
        assert "&lt;script&gt;" in served.page.get("/unit/tern-65/outside").text
        answer = served.page.get("/unit/tern-65/files/words/listing.md")
        assert answer.headers["content-type"].startswith("text/plain")
        assert "sandbox" in answer.headers["content-security-policy"]
    finally:
        running.close()


def _tainted(value: Any) -> Any:
    """Every text in a structure with script behind it."""
    if isinstance(value, dict):
        return {key: _tainted(one) for key, one in value.items()}
    if isinstance(value, list):
        return [_tainted(one) for one in value]
    return f"{value} {SCRIPT}" if isinstance(value, str) else value


@pytest.mark.parametrize("file", ["unit.toml", "logs/logs.toml", "photos/marks.json", "captures/c1-attach.sigmf-meta"])
def test_script_behind_every_text_of_a_file_stays_text(tmp_path: Path, file: str) -> None:
    unit = tmp_path / "bench" / "tern-65"
    shutil.copytree(DEMO, unit)
    text = (unit / file).read_text(encoding="utf-8")
    whole = _tainted(tomllib.loads(text) if file.endswith(".toml") else json.loads(text))
    (unit / file).write_text(tomlkit.dumps(whole) if file.endswith(".toml") else json.dumps(whole), encoding="utf-8")
    captions = (unit / "words" / "captions.vtt").read_text(encoding="utf-8")
    (unit / "words" / "captions.vtt").write_text(f"{captions}\n\n9:59.000 --> 9:59.500\n{SCRIPT} 12 volts\n")
    running = serving(tmp_path / "bench")
    served = next(running)
    try:
        told = {"path": ["unit", "notes"], "value": SCRIPT, "base": "absent", "who": SCRIPT}
        version = served.page.patch(f"{U}/unit.toml", json=told).json().get("conflict", {}).get("version", "absent")
        served.page.patch(f"{U}/unit.toml", json={**told, "base": version})
        served.page.post(f"{U}/jobs", json={"kind": "decode", "capture": SCRIPT})
        for name in (*PAGES, "history"):
            body = served.page.get(f"/unit/tern-65/{name}").text
            for hostile in ("<script>alert", "<img src=x"):
                assert hostile not in body, name
        assert "&lt;script&gt;" in served.page.get("/unit/tern-65/history").text
        for name in ("", "/facts", "/findings", "/parts", "/marks", "/history", "/jobs", "/unit.toml", "/logs.toml"):
            answer = served.page.get(U + name)
            assert answer.headers["content-type"] == "application/json"
            assert answer.headers["x-content-type-options"] == "nosniff"
        *_, report = _ended(served, served.page.post(f"{U}/jobs", json={"kind": "report", "formats": ["html"]}).json())
        assert report["state"] == "done", report
        assert "<script>alert" not in served.page.get("/unit/tern-65/report/report.html").text
    finally:
        running.close()


def _ended(served: Served, job: dict[str, Any]) -> Any:
    for _ in range(1500):
        told = served.page.get(f"{U}/jobs/{job['id']}").json()
        yield told
        if told["state"] in ("done", "failed", "cancelled"):
            return
        time.sleep(0.02)


def test_every_answer_forbids_inline_script_and_foreign_frames(served: Served) -> None:
    for target in ("/", "/unit/tern-65/parts", "/nowhere", f"{U}/facts", "/style.css"):
        headers = served.page.get(target).headers
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "script-src 'self'" in policy
        for loose in ("unsafe", "blob:", "*", "http:", "https:"):
            assert loose not in policy
        assert policy.replace("img-src 'self' data:", "").count("data:") == 0  # pieces of photos in a drawing
        assert headers["x-content-type-options"] == "nosniff"
        assert "set-cookie" not in headers
    for name in PAGES:
        page = served.page.get(f"/unit/tern-65/{name}").text
        assert not re.findall(r"<[a-z][^<>]*\s(?:on[a-z]+|style)=", page), name
        assert "<style" not in page
        assert not re.findall(r'(?:src|href)="(?!/|#|https?://|mailto:|data:image/)[^"]*:', page), name


def test_what_a_page_loads_is_kept_for_good_by_its_content(served: Served) -> None:
    """RFC 8246 (immutable), RFC 9110 13.1.2 (If-None-Match)."""
    page = served.page.get("/unit/tern-65/outside").text
    loaded = re.findall(r'(?:href|src)="(/(?:style\.css|icon\.svg|static/)[^"]*)"', page)
    sheet = next(address for address in loaded if address.startswith("/style.css"))
    loaded += re.findall(r"url\((/fonts/[^)]+)\)", served.page.get(sheet).text)[:2]
    info = served.page.get("/unit/tern-65/photos/body.jpg/tiles/info.json").json()
    loaded.append(info["url"].format(z=0, x=0, y=0))
    for address in loaded:
        assert "?v=" in address
        assert served.page.get(address).headers["cache-control"].endswith("immutable"), address
        bare = served.page.get(address.partition("?")[0])
        assert bare.headers["cache-control"] == "private, no-cache"
        again = served.page.get(address.partition("?")[0], headers={"If-None-Match": bare.headers["etag"]})
        assert (again.status_code, again.content) == (304, b"")
    assert served.page.get("/favicon.ico").headers["content-type"] == "image/svg+xml"
    assert served.page.get("/static/workbench.js?v=other").headers["cache-control"] == "private, no-cache"


@pytest.mark.parametrize(
    ("folder", "name", "data", "status"),
    [
        ("photos", "a.jpg", b"<html>", 415),
        ("photos", "a.svg", b"<svg/>", 415),
        ("photos", "a.html", b"x", 415),
        ("photos", ".hidden.jpg", b"\xff\xd8\xff", 422),
        ("photos", "a.heic", b"\xff\xd8\xff", 415),
        ("photos", "a.tif", b"\0\0\0\x18ftypheic", 415),
        ("logs", "a.csv", b"\x7fELF\0\0", 415),
        ("words", "a.md", b"", 415),
        ("etc", "a.csv", b"1,2", 404),
        ("photos", "body.jpg", b"\xff\xd8\xff", 409),
    ],
)
def test_uploads_that_are_not_what_they_say(served: Served, folder: str, name: str, data: bytes, status: int) -> None:
    before = sorted(str(path) for path in served.unit.rglob("*"))
    answer = served.page.put(f"{U}/uploads/{folder}/{name}", content=data)
    assert answer.status_code == status
    assert answer.json()["error"]["expected"]
    assert sorted(str(path) for path in served.unit.rglob("*")) == before


def test_an_endless_upload_ends_and_leaves_nothing(served: Served, monkeypatch: pytest.MonkeyPatch) -> None:
    from partingline.workbench import uploads

    monkeypatch.setattr(uploads.keep, "__defaults__", (1 << 20,))
    sent = 0

    def endless() -> Any:
        nonlocal sent
        for _ in range(200):
            sent += 1 << 16
            yield b"1,2\n" * (1 << 14)

    try:
        answer = served.page.put(f"{U}/uploads/logs/endless.csv", content=endless())
        assert answer.status_code == 413
    except (httpx.WriteError, httpx.ReadError, httpx.RemoteProtocolError):
        assert sent > 1 << 20
    assert not [path for path in (served.unit / "logs").iterdir() if "endless" in path.name]


def test_an_endless_form_ends_and_leaves_nothing(served: Served, monkeypatch: pytest.MonkeyPatch) -> None:
    from partingline.workbench.pages import receive

    monkeypatch.setattr(receive, "MOST_BYTES", 1 << 20)
    head = b'--x\r\nContent-Disposition: form-data; name="files"; filename="endless.csv"\r\n\r\n'

    def endless() -> Any:
        yield head
        for _ in range(200):
            yield b"1,2\n" * (1 << 14)

    before = sorted(str(path) for path in served.bench.rglob("*"))
    for address in (f"/unit/tern-65/upload/logs?token={served.token}", f"/new?token={served.token}"):
        kind = {"Content-Type": "multipart/form-data; boundary=x"}
        with contextlib.suppress(httpx.WriteError, httpx.ReadError, httpx.RemoteProtocolError):
            assert served.page.post(address, content=endless(), headers=kind).status_code == 413
    assert sorted(str(path) for path in served.bench.rglob("*")) == before


def test_an_upload_that_breaks_off_leaves_nothing(served: Served) -> None:
    host, port = served.address.removeprefix("http://").split(":")
    lines = [
        f"PUT {U}/uploads/logs/broken.csv HTTP/1.1", f"Host: {host}:{port}", f"X-Partingline: {served.token}",
        "Content-Length: 1000000", "", "",
    ]  # fmt: skip
    with socket.create_connection((host, int(port))) as plain:
        plain.sendall("\r\n".join(lines).encode() + b"1,2\n" * 1000)
        time.sleep(0.3)
    for _ in range(200):
        if not [path for path in (served.unit / "logs").iterdir() if "broken" in path.name]:
            break
        time.sleep(0.02)
    assert not [path for path in (served.unit / "logs").iterdir() if "broken" in path.name]


def test_a_picture_that_would_fill_the_memory_is_not_decoded(served: Served) -> None:
    """A PNG head that tells of 60,000 by 60,000 pixels (W3C PNG, 11.2.2)."""
    head = b"IHDR" + struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0)
    data = b"\x89PNG\r\n\x1a\n" + struct.pack(">I", 13) + head + struct.pack(">I", zlib.crc32(head))
    assert served.page.put(f"{U}/uploads/photos/bomb.png", content=data).status_code == 201
    try:
        for target in ("small.jpg", "tiles/8/0_0.jpg"):
            assert served.page.get(f"/unit/tern-65/photos/bomb.png/{target}").status_code in (404, 415)
        assert served.page.get("/unit/tern-65/boards").status_code == 200
    finally:
        (served.unit / "photos" / "bomb.png").unlink()


def test_a_body_that_is_too_large_or_no_json_is_turned_away(served: Served) -> None:
    huge = b'{"value": "' + b"x" * (2 << 20) + b'"}'
    kind = {"Content-Type": "application/json"}
    assert served.page.patch(f"{U}/unit.toml", content=huge, headers=kind).status_code == 413
    for body in (b"[", b"[]", b'"x"', b"\xff", b"[" * 100_000, b'{"path": 1}', b'{"path": ["a", true], "base": "x"}'):
        assert served.page.patch(f"{U}/unit.toml", content=body, headers=kind).status_code == 400
    assert served.page.patch(f"{U}/unit.toml", content=b"{}", headers={"Content-Type": "text/plain"}).status_code == 400


def test_event_streams_beyond_the_bound_are_refused_with_grace(tmp_path: Path) -> None:
    _crowd(tmp_path, 500)


@pytest.mark.prove
def test_ten_thousand_event_streams_are_refused_with_grace(tmp_path: Path) -> None:
    _crowd(tmp_path, 10_000)


def _crowd(tmp_path: Path, count: int) -> None:
    """Through the application itself: sockets are the operating system's to bound."""
    shutil.copytree(DEMO, tmp_path / "tern-65")
    app = make_app(tmp_path)
    app.state.streams = Streams(most=20, most_from_one=16)

    async def ask(ended: asyncio.Event) -> int:
        status: list[int] = []
        headers = [(b"host", b"127.0.0.1:8765")]
        scope = {
            "type": "http", "method": "GET", "path": f"{U}/events", "raw_path": b"", "query_string": b"",
            "headers": headers, "client": ("127.0.0.1", 1), "http_version": "1.1", "scheme": "http",
            "server": ("127.0.0.1", 8765), "root_path": "",
        }  # fmt: skip

        async def receive() -> dict[str, Any]:
            await ended.wait()
            return {"type": "http.disconnect"}

        async def send(message: Any) -> None:
            if message["type"] == "http.response.start":
                status.append(message["status"])

        await app(scope, receive, send)
        return status[0]

    async def crowd() -> tuple[list[int], int]:
        ended = asyncio.Event()
        first = [asyncio.create_task(ask(ended)) for _ in range(16)]
        while app.state.streams.open.total() < 16:
            await asyncio.sleep(0.01)
        refused = [await ask(ended) for _ in range(count)]
        ended.set()
        await asyncio.gather(*first)
        return refused, app.state.streams.open.total()

    with ThreadPoolExecutor(1) as own_thread:  # a browser test may have left a running loop in this one
        refused, left = own_thread.submit(asyncio.run, crowd()).result()
    assert set(refused) == {503}
    assert left == 0


def test_with_another_address_the_token_is_needed(tmp_path: Path) -> None:
    shutil.copytree(DEMO, tmp_path / "tern-65")
    running = serving(tmp_path, access_token="right-token", host="192.0.2.7")
    served = next(running)
    try:
        with httpx.Client(base_url=served.address, trust_env=False, timeout=60) as stranger:
            assert stranger.get("/").status_code == 401
            assert stranger.get("/?access=wrong").status_code == 401
            assert stranger.get("/", headers={"Authorization": "Bearer wrong"}).status_code == 401
            assert stranger.get("/", headers={"Authorization": "Bearer right-token"}).status_code == 200
            answer = stranger.get("/?access=right-token")
            assert answer.status_code == 303
            assert {"HttpOnly", "SameSite=Strict"} <= set(answer.headers["set-cookie"].split("; "))
            assert stranger.get("/").status_code == 200
    finally:
        running.close()
