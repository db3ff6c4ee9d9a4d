"""The publication against independent readers: bagit, pyld and rdflib, html5lib, html-validate, and axe in Chromium."""
# ruff: noqa: E501

import io
import json
import shutil
import subprocess
import warnings
from datetime import date
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from partingline.facts.opened import Opened, open_unit
from partingline.facts.spoken import Class, check_words
from partingline.findings import Case, run
from partingline.model import Finding
from partingline.publish.article import read_profile
from partingline.publish.article.package import publication
from partingline.publish.bag import verify_bag, write_bag
from partingline.publish.changes import changes, correction_note, frozen_record, read_frozen
from partingline.publish.script import draft, script_markdown
from partingline.publish.words.languages import language, languages
from partingline.readers.words import read_script
from partingline.sources import roles

DEMO = Path(__file__).parents[2] / "demo" / "tern-65"
DAY = date(2026, 11, 25)
AXE = Path(__file__).parents[2] / "node_modules" / "axe-core" / "axe.min.js"
VALIDATOR = Path(__file__).parents[2] / "node_modules" / "html-validate" / "bin" / "html-validate.mjs"
NODE = shutil.which("node")
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")


@pytest.fixture(scope="module")
def bag(tmp_path_factory: pytest.TempPathFactory, demo: Opened, findings: tuple[Finding, ...]) -> Path:
    out = tmp_path_factory.mktemp("bag") / "tern-65"
    files = {
        "frozen.json": json.dumps(frozen_record(demo, findings, DAY.isoformat())).encode(),
        "two\nlines.txt": b"odd",
    }  # bagit 1.9 leaves % alone where RFC 8493, 2.1.3 asks for %25
    return write_bag(DEMO, files, out, title="Tern 65", day=DAY)


def test_a_bag_is_valid_for_an_independent_implementation(bag: Path) -> None:
    """bagit, the Library of Congress's implementation: complete and valid, and so says ours."""
    import bagit

    assert bagit.Bag(str(bag)).validate(processes=1)
    assert verify_bag(bag) == []


def test_a_bag_of_the_independent_implementation_is_valid_for_ours(tmp_path: Path) -> None:
    import bagit

    (tmp_path / "a").mkdir()
    (tmp_path / "a" / "50 %.txt").write_text("x")
    bagit.make_bag(str(tmp_path), checksums=["sha256", "sha512", "md5"])
    assert verify_bag(tmp_path) == []


@pytest.mark.parametrize("harm", ["changed", "gone", "added", "manifest"])
def test_harm_to_a_bag_is_seen_by_both(bag: Path, tmp_path: Path, harm: str) -> None:
    import bagit

    copy = tmp_path / "copy"
    shutil.copytree(bag, copy)
    victim = copy / "data" / "unit" / "parts.csv"
    if harm == "changed":
        victim.write_bytes(victim.read_bytes().replace(b"27", b"28", 1))
    elif harm == "gone":
        victim.unlink()
    elif harm == "added":
        (copy / "data" / "more.txt").write_text("x")
    else:
        manifest = copy / "manifest-sha256.txt"
        manifest.write_text(manifest.read_text().replace("a", "b", 1))
    assert verify_bag(copy)
    with pytest.raises(bagit.BagError):
        bagit.Bag(str(copy)).validate(processes=1)


def test_a_bag_is_not_written_over_nor_inside(bag: Path, tmp_path: Path) -> None:
    with pytest.raises(FileExistsError, match="choose a name"):
        write_bag(DEMO, {}, bag, title="t", day=DAY)
    with pytest.raises(ValueError, match="inside"):
        write_bag(DEMO, {}, DEMO / "bag", title="t", day=DAY)


def test_the_record_is_linked_data(published: dict[str, bytes]) -> None:
    """pyld expands every term, rdflib reads triples; nothing is fetched, since the context is in the file."""
    from pyld import jsonld
    from rdflib import Graph, URIRef

    record = json.loads(published["record.jsonld"])
    expanded = jsonld.expand(record, {"documentLoader": _no_fetch, "base": "https://example.org/"})
    assert expanded[0]["@type"] == ["https://schema.org/Dataset"]
    assert len(expanded[0]["https://schema.org/variableMeasured"]) == len(record["variableMeasured"]) > 200
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)  # rdflib's own parser uses a class that rdflib deprecates
        graph = Graph().parse(
            data=published["record.jsonld"].decode(), format="json-ld", publicID="https://example.org/"
        )
    values = set(graph.subjects(None, URIRef("https://schema.org/PropertyValue")))
    assert len(values) > 200
    names = {str(o) for o in graph.objects(None, URIRef("https://schema.org/propertyID"))}
    assert "part:C3/capacitance" in names
    bare = jsonld.expand({key: value for key, value in record.items() if key != "@context"})
    assert "https://schema.org/variableMeasured" not in bare[0]  # without its context it says nothing


def _no_fetch(url: str, options: object) -> dict[str, object]:
    raise AssertionError(f"the record asks for {url}")


def test_the_article_is_valid_html(published: dict[str, bytes]) -> None:
    """html5lib's strict parser, an independent implementation of the HTML standard's parsing algorithm."""
    import html5lib

    html5lib.HTMLParser(strict=True).parse(published["article.html"].decode("utf-8"))


@pytest.mark.skipif(not (NODE and VALIDATOR.exists()), reason="needs Node and html-validate (make setup)")
@pytest.mark.parametrize("harm", ["", "id", "nesting"])
def test_a_validator_accepts_the_article(published: dict[str, bytes], tmp_path: Path, harm: str) -> None:
    """html-validate's preset of the HTML standard; what is harmed on purpose is refused."""
    page = published["article.html"].decode("utf-8")
    if harm:
        broken = {"id": '<p id="top">twice</p></body>', "nesting": "<ul><p>no item</p></ul></body>"}[harm]
        page = page.replace("</body>", broken)
    (tmp_path / "article.html").write_text(page, encoding="utf-8")
    rules = {
        "root": True,
        "extends": ["html-validate:standard"],
        "rules": {"doctype-style": ["error", {"style": "lowercase"}]},
    }
    (tmp_path / ".htmlvalidate.json").write_text(json.dumps(rules), encoding="utf-8")
    command = [str(NODE), str(VALIDATOR), "--formatter", "json", "article.html"]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, timeout=60, check=False)
    assert done.returncode == bool(harm), done.stdout[:800]


@pytest.mark.skipif(not (CHROMIUM and AXE.exists()), reason="needs Chromium and axe-core (make setup)")
@pytest.mark.parametrize("harm", [False, True])
def test_axe_finds_nothing_in_the_article(published: dict[str, bytes], tmp_path: Path, harm: bool) -> None:
    """axe-core in Chromium: every rule of WCAG 2.0 to 2.2, A and AA; a picture without words is found."""
    page = published["article.html"].decode("utf-8")
    told = _axe(page.replace("</body>", '<img src="data:,"></body>') if harm else page, tmp_path)
    assert told["p"] > 10
    assert [rule for rule, *_ in told["v"]] == (["image-alt"] if harm else [])


def _axe(html: str, folder: Path) -> dict[str, Any]:
    page = folder / "article.html"
    probe = (
        f"<script>{AXE.read_text('utf-8')}</script><script>axe.run({{runOnly:['wcag2a','wcag2aa','wcag21aa','wcag22aa']}})"
        ".then(r=>{const e=document.createElement('pre');e.id='axe-result';"
        "e.textContent='AXE'+JSON.stringify({v:r.violations.map(v=>[v.id,v.nodes.length,v.nodes[0].html.slice(0,120)]),"
        "p:r.passes.length})+'END';document.body.appendChild(e)})</script></body>"
    )
    page.write_text(html.replace("</body>", probe), encoding="utf-8")
    command = [
        str(CHROMIUM), "--headless", "--no-sandbox", "--disable-gpu", f"--user-data-dir={folder / 'profile'}",
        "--virtual-time-budget=20000", "--dump-dom", page.as_uri(),
    ]  # fmt: skip
    dom = subprocess.run(command, capture_output=True, text=True, timeout=90, check=False).stdout
    start = dom.rfind("AXE{")
    assert start >= 0, "axe did not answer"
    plain = dom[start + 3 : dom.index("END", start)].replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&")
    return dict(json.loads(plain))


def test_every_picture_has_pins_and_words(published: dict[str, bytes]) -> None:
    told = json.loads(published["pictures/alt.json"])
    assert len(told) == 5
    for name, entry in told.items():
        with Image.open(io.BytesIO(published[f"pictures/{name}"])) as picture:
            assert picture.format == "JPEG"
            assert not picture.getexif()
        assert len(entry["alt"]) > 5
    assert any(entry["pins"] for entry in told.values())


def test_labels_stay_inside_the_picture_and_off_each_other() -> None:
    from partingline.publish.document import Measure, Photo
    from partingline.publish.pictures.burn import burned

    plain = Image.new("RGB", (1000, 500), "#808080")
    raw = io.BytesIO()
    plain.save(raw, "PNG")
    paths = tuple(Measure(((980.0, y), (990.0, y)), "爬电距离 4.31 mm", "5 mm") for y in (470.0, 100.0, 101.0))
    with Image.open(io.BytesIO(burned(Photo(raw.getvalue(), "image/png", 1000, 500, measures=paths)))) as picture:
        grey = picture.convert("L")
        assert max(abs(grey.getpixel((999, y)) - 128) for y in range(0, 500)) < 40  # type: ignore[operator]
        columns = [[y for y in range(500) if grey.getpixel((x, y)) < 60] for x in range(700, 999)]  # type: ignore[operator]
        beside_words = max(columns, key=len)
        assert sum(b - a > 2 for a, b in pairwise(beside_words)) == 2  # three plates


def test_the_card_and_the_texts(published: dict[str, bytes]) -> None:
    tag = published["language"].decode()
    with Image.open(io.BytesIO(published["card.png"])) as card:
        assert card.size == (1200, 630)
    description = published["description.txt"].decode("utf-8")
    assert {"en": "Of 1", "de": "Von 1", "zh-Hans": "共 1"}[tag] in description
    assert ("90,64" in description) == (tag == "de")
    assert published["chapters.txt"].decode("utf-8").startswith("0:00 ")
    assert published["captions.vtt"].startswith(b"WEBVTT")
    assert f'lang="{tag}"'.encode() in published["article.html"]
    front = published["article.md"].decode("utf-8").split("---\n")
    assert front[0] == ""
    assert f'lang: "{tag}"' in front[1]


def test_every_language_has_every_string() -> None:
    first = language("en").strings
    for tag in languages():
        assert set(language(tag).strings) == set(first), tag
        if tag != "en":
            assert len(set(roles()) - set(language(tag).roles)) <= 2, (
                tag
            )  # a new one is told in English until it is translated
            assert len(language(tag).quantities) > 120, tag
        for name, text in language(tag).strings.items():
            assert text.count("{") == first[name].count("{"), (tag, name)


def test_the_script_says_nothing_but_facts(demo: Opened, findings: tuple[Finding, ...]) -> None:
    """The words check reads the draft: every figure agrees, or is a condition."""
    written = draft(demo, findings, target_s=300.0)
    checked = check_words(demo.unit, demo.book.facts(), read_script(script_markdown(written), "script.md"))
    opening = next(part for part in written.parts if part.title == "Opening")
    own = {line.text for line in opening.lines if not line.facts}  # the steps, in the person's words
    ours = [one for one in checked.spoken if one.sentence not in own]
    assert {one.class_ for one in ours} <= {Class.AGREES, Class.CONDITION}
    assert not checked.slips
    assert len(checked.spoken) > 60
    assert [part.title for part in written.parts] == [
        "Outside", "Label", "Ports and protocol", "Opening", "Boards", "Primary side", "Isolation", "Secondary side", "Output",
        "Measurements", "Verdict",
    ]  # fmt: skip
    assert all(demo.book.fact(key) is not None for part in written.parts for line in part.lines for key in line.facts)
    assert any(shot.photo for part in written.parts for shot in part.shots)
    aloud = " ".join(line.aloud for part in written.parts for line in part.lines)
    assert "zero point three three microfarads" in aloud


@pytest.mark.parametrize("tag", ["de", "zh-Hans"])
def test_the_script_tells_the_same_facts_in_every_language(
    demo: Opened, findings: tuple[Finding, ...], tag: str
) -> None:
    english, other = draft(demo, findings), draft(demo, findings, tag=tag)
    facts = [[key for line in part.lines for key in line.facts] for part in english.parts]
    assert facts == [[key for line in part.lines for key in line.facts] for part in other.parts]
    text = script_markdown(other)
    assert {"de": "28,4 Millimeter hoch", "zh-Hans": "高 28.4 毫米"}[tag] in text
    assert not {"microfarads", "Port", "Reading", "photo"} & set(text.split())
    assert 100 < other.seconds < 600


def test_own_templates_replace_ours(demo: Opened, findings: tuple[Finding, ...], tmp_path: Path) -> None:
    (tmp_path / "1.md").write_text("# One\nA mass of {unit/mass}.\nNobody knows {unit/altitude}.\n")
    written = draft(demo, findings, templates=tmp_path)
    assert [line.text for part in written.parts for line in part.lines] == ["A mass of 118 grams."]
    (tmp_path / "1.md").write_text("# One\nA mass of {unit/mass.\n")
    with pytest.raises(ValueError, match="line 2"):
        draft(demo, findings, templates=tmp_path)


def test_a_changed_fact_changes_what_rests_on_it(bag: Path, tmp_path: Path) -> None:
    unit = tmp_path / "unit"
    shutil.copytree(DEMO, unit)
    frozen = read_frozen(bag)
    text = (unit / "words" / "listing.md").read_text("utf-8").replace("94 %", "92 %")
    (unit / "words" / "listing.md").write_text(text, encoding="utf-8")
    now = open_unit(unit)
    found = changes(frozen, frozen_record(now, run(Case(now.unit, now.book, captures=now.captures)), "2026-12-01"))
    assert any("listing_is_kept" in change.what and "falls short" in change.before for change in found.verdicts)
    assert any("94" in change.before for change in found.sentences)
    led = [change for change in found.sentences if change.what == "lead"]
    assert [bool(change.before and change.now) for change in led] == [True]
    note = correction_note(
        found, day="2026-12-01", language=language("de"), reason="Der Händler hat den Text geändert."
    )
    assert "Berichtigung vom 2026-12-01" in note
    assert "~~verfehlt: The listing claims 94" in note
    assert "Der Händler" in note


def test_an_unchanged_unit_has_no_changes(bag: Path, demo: Opened, findings: tuple[Finding, ...]) -> None:
    assert not changes(read_frozen(bag), frozen_record(demo, findings, "2026-12-01"))


def test_a_profile_is_a_folder(demo: Opened, findings: tuple[Finding, ...], tmp_path: Path) -> None:
    (tmp_path / "profile.toml").write_text(
        'language = "de"\nname = "Prüfbank"\ntags = ["usb"]\n[units]\nlength = "in"\nmass = "oz"\n'
    )
    (tmp_path / "style.css").write_text("main { max-width: 40rem }")
    out = io.BytesIO()
    Image.new("RGB", (40, 20), "navy").save(out, "PNG")
    (tmp_path / "logo.png").write_bytes(out.getvalue())
    files = publication(demo, findings, read_profile(tmp_path), day="2026-11-25")
    html = files["article.html"].decode("utf-8")
    assert "max-width: 40rem" in html
    assert 'alt="Prüfbank"' in html
    assert "4,17" in html or "oz" in html
    (tmp_path / "profile.toml").write_text('[units]\nlength = "kg"\n')
    with pytest.raises(ValueError, match="length"):
        read_profile(tmp_path)
    (tmp_path / "profile.toml").write_text('colour = "red"\n')
    with pytest.raises(ValueError, match="unknown key 'colour'"):
        read_profile(tmp_path)
