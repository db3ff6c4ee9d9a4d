"""Write the generated pages of `docs/`: rules, calculations, glossary, sources, command reference, JSON schemas.

`--check` writes nothing and exits 1 where a page differs from what the program says today.
"""

import json
import sys
from pathlib import Path

from partingline.calc import CALCULATIONS
from partingline.findings import rules
from partingline.publish.records import SCHEMAS, json_schema
from partingline.sources import documents, quantities, roles
from partingline.sources.documents import MARKS

DOCS = Path(__file__).parents[1] / "docs"
NOTE = "<!-- Written by `make docs`; do not edit. -->\n\n"


def main() -> int:
    """Write or compare; the number of pages that differ is printed."""
    check = "--check" in sys.argv
    drifted = [name for name, text in pages().items() if not _same(DOCS / name, text)]
    for name in drifted:
        if not check:
            (DOCS / name).parent.mkdir(parents=True, exist_ok=True)
            (DOCS / name).write_text(pages()[name], encoding="utf-8")
        print(f"{'differs' if check else 'wrote'} docs/{name}")
    return 1 if check and drifted else 0


def pages() -> dict[str, str]:
    """Every generated page by its name under `docs/`."""
    made = {
        "rules.md": _rules(),
        "calculations.md": _calculations(),
        "glossary.md": _glossary(),
        "sources.md": _sources(),
    }
    for name in SCHEMAS:
        made[f"schema/{name}.json"] = json.dumps(json_schema(name), ensure_ascii=False, indent=1, sort_keys=True) + "\n"
    return made


def _same(path: Path, text: str) -> bool:
    return path.exists() and path.read_text(encoding="utf-8") == text


def _rules() -> str:
    lines = [
        "# Rules\n",
        f"{NOTE}Every rule, what it claims of a unit that meets it, and its source. A source marked 'from ",
    ]
    lines[-1] += "memory' or 'common practice' is indicative: it never decides *falls short* by itself.\n"
    group = ""
    for rule in rules():
        if rule.group != group:
            group = rule.group
            lines += [f"\n## {group}\n", "| rule | claim | source |", "|---|---|---|"]
        lines.append(f"| `{rule.id.partition('.')[2]}` | {_cell(rule.claim)} | {_cell(str(rule.source))} |")
    return "\n".join(lines) + "\n"


def _calculations() -> str:
    lines = ["# Calculations\n", f"{NOTE}`partingline calc NAME` shows one in full, with its example and errata."]
    room = ""
    for id_, one in sorted(CALCULATIONS.items()):
        if id_.partition(".")[0] != room:
            room = id_.partition(".")[0]
            lines += [f"\n## {room}\n", "| calculation | what it gives | inputs | source |", "|---|---|---|---|"]
        inputs = ", ".join(f"{name} {unit}".strip() for name, unit in one.units.items())
        name = f"`{id_.partition('.')[2]}`"
        lines.append(
            f"| {name} | {_cell(one.summary)} ({_cell(one.gives)}) | {_cell(inputs)} | {_cell(str(one.source))} |"
        )
    return "\n".join(lines) + "\n"


def _glossary() -> str:
    lines = [
        "# Glossary\n",
        f"{NOTE}## Quantities\n",
        "| id | name | SI unit | shown in | also called |",
        "|---|---|---|---|---|",
    ]
    lines += [
        f"| `{q.id}` | {q.name} | {q.unit} | {q.shown} | {_cell(', '.join(q.names))} |" for q in quantities().values()
    ]
    lines += ["\n## Roles of parts\n", "| id | name | stage | kinds | also called |", "|---|---|---|---|---|"]
    lines += [
        f"| `{r.id}` | {r.name} | {r.stage} | {', '.join(r.kinds)} | {_cell(', '.join(r.names))} |"
        for r in roles().values()
    ]
    return "\n".join(lines) + "\n"


def _sources() -> str:
    lines = [
        "# Sources\n",
        f"{NOTE}How a number was read is said beside it: " + "; ".join(f"{k}: {v}" for k, v in MARKS.items()),
    ]
    lines += ["\n| id | title | edition | what we hold | errata |", "|---|---|---|---|---|"]
    lines += [
        f"| `{d.id}` | {_cell(d.title)} | {_cell(d.edition)} | {_cell(d.holds)} | {_cell(d.errata)} |"
        for d in documents().values()
    ]
    return "\n".join(lines) + "\n"


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")


if __name__ == "__main__":
    sys.exit(main())
