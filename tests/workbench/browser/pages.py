"""The pages of the stand-in server: everything that the bundle takes over, as docs/workbench.md has it."""

import html

from tests.workbench.browser.desk import COLUMNS, Desk, version


def page(desk: Desk, name: str) -> str:
    """A page with everything that the bundle takes over."""
    mass = html.escape(desk.fields['["body","mass"]'])
    rows = "".join(
        f'<tr data-ref="{r["ref"]}" data-version="{version(r)}">'
        + "".join(f'<td data-column="{c}" data-base="{version(r[c])}">{html.escape(r[c])}</td>' for c in COLUMNS)
        + "</tr>"
        for r in desk.parts
    )
    head = "".join(f'<th scope="col">{c}</th>' for c in COLUMNS)
    table = f"<table data-parts><caption>Parts</caption><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"
    fields = "".join(
        f'<form data-edit method="post" action="/unit/tern-65/edit"><input type="hidden" name="file" value="unit.toml">'
        f'<input type="hidden" name="path" value=\'{path}\'><input type="hidden" name="base" value="{version(value)}">'
        f'<label for="f{i}">{label}</label> {control(i, value)}</form>'
        for i, (label, (path, value)) in enumerate(zip(("mass", "label"), desk.fields.items(), strict=True))
    )
    body = {
        "outside": f"<section><h2>Body</h2>{fields}<p>It weighs <a data-fact='unit/mass' "
        f"href='/unit/tern-65/fact?key=unit/mass'>{mass}</a>.</p></section>",
        "parts": f'<div class="scroll" tabindex="0" role="group" aria-label="Parts">{table}</div>',
        "boards": "".join(
            f'<figure data-photo="{n}.png" data-info="/unit/tern-65/photos/{n}.png/tiles/info.json" data-title="{t}">'
            f'<img src="/unit/tern-65/photos/{n}.png/small.jpg" alt="{t}"></figure>'
            for n, t in (("bottom", "main board, bottom"), ("top", "main board, top"))
        )
        + f"<table data-parts><caption>Parts</caption><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>",
        "measurements": '<figure data-log="sweep.csv"><p>drawn</p><figcaption>Load sweep</figcaption></figure>'
        '<form data-drop="logs"><label for="files">Logs</label> <input id="files" type="file" multiple></form>',
        "ports": '<figure data-capture="attach"><p>drawn</p><figcaption>Attach</figcaption></figure>',
        "publish": '<form data-job="report"><label><input type="checkbox" name="formats" value="html" checked>'
        " HTML</label> "
        "<button>Make the report</button></form><div data-jobs></div>",
    }[name]
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width">'
        '<title>Tern 65</title><link rel="stylesheet" href="/style.css">'
        '<link rel="stylesheet" href="/static/workbench.css">'
        '<meta name="partingline-token" content="T"><script type="module" src="/static/workbench.js"></script></head>'
        f'<body data-unit="tern-65" data-page="{name}" data-state="{desk.state}">'
        '<main><header class="head"><h1>Tern 65</h1>'
        f'<p class="meta"><span data-live="people">one here</span></p></header>'
        f'<p data-live="lead">State {desk.state}: mass {mass}.</p>{body}</main></body></html>'
    )


def control(i: int, value: str) -> str:
    """One control for one field: a line, or an area for text of many lines."""
    shown = html.escape(value, quote=True)
    if "\n" in value:
        return f'<textarea id="f{i}" name="value">{shown}</textarea>'
    return f'<input id="f{i}" name="value" value="{shown}">'
