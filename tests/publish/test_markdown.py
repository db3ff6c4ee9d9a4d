"""The Markdown read back with markdown-it-py, an implementation of CommonMark with GitHub's tables."""

import re
import xml.etree.ElementTree as ET

import pytest
from markdown_it import MarkdownIt

from partingline.publish.markdown import render_markdown
from partingline.publish.printable import printable
from tests.publish.nasty import NASTY, nasty
from tests.publish.page import Page
from tests.publish.sample import sample

DOCUMENTS = {"sample": sample, "nasty": nasty}


def _page(name: str) -> tuple[Page, dict[str, bytes]]:
    files = render_markdown(DOCUMENTS[name](), name)
    reader = MarkdownIt("commonmark", {"html": True}).enable(["table", "strikethrough"])
    html = reader.render(files[f"{name}.md"].decode("utf-8")).replace(" />", ">")
    return Page(html), files


@pytest.mark.parametrize("name", DOCUMENTS)
def test_every_link_has_its_anchor_and_every_picture_its_file(name: str) -> None:
    page, files = _page(name)
    ids = [link["id"] for link in page.all("a") if "id" in link]
    targets = [link["href"] for link in page.all("a") if "href" in link]
    assert len(ids) == len(set(ids))
    assert {target[1:] for target in targets if target.startswith("#")} <= set(ids)
    assert all(target.startswith(("#", "https://example.org/")) for target in targets)
    pictures = {image["src"] for image in page.all("img")}
    assert pictures == files.keys() - {f"{name}.md"}
    assert all(image["alt"] for image in page.all("img"))


@pytest.mark.parametrize("name", DOCUMENTS)
def test_only_our_own_elements_are_on_the_page(name: str) -> None:
    page, _ = _page(name)
    known = {"h1", "h2", "h3", "p", "em", "strong", "a", "ul", "ol", "li", "br", "img", "blockquote"}
    known |= {"table", "thead", "tbody", "tr", "th", "td"}
    assert {tag for tag, _, _ in page.elements} <= known
    assert page.faults == []


def test_nasty_texts_arrive_as_they_were_written() -> None:
    page, _ = _page("nasty")
    for words in NASTY:
        assert page.text.count(" ".join(printable(words).split())) >= 10


def test_tables_keep_their_columns() -> None:
    for name in DOCUMENTS:
        page, _ = _page(name)
        widths, row = [], 0
        for tag, _, _ in page.elements:
            if tag == "tr":
                widths.append(row)
                row = 0
            row += tag in ("td", "th")
        assert set(widths[1:]) <= {3, 4, 6, 8, 2}
        assert len(page.all("table")) >= 5


def test_figures_are_readable_on_any_ground() -> None:
    files = render_markdown(sample(), "r")
    for name, data in files.items():
        if name.endswith(".svg"):
            root = ET.fromstring(data)
            assert root[0].get("fill") == "#fbfaf6"
            assert not re.search(rb"var\(--", data)


def test_two_runs_give_the_same_files() -> None:
    assert render_markdown(sample()) == render_markdown(sample())
