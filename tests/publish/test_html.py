"""The page by its structure (HTML living standard, WCAG 2.2 A and AA as far as markup decides them)."""

import re
from itertools import pairwise

import pytest

from partingline.publish import fonts
from partingline.publish.document import Document
from partingline.publish.html import render_html
from partingline.publish.printable import printable
from tests.publish.nasty import NASTY, nasty
from tests.publish.page import Page
from tests.publish.sample import sample


@pytest.fixture(scope="module", params=[sample, nasty], ids=["sample", "nasty"])
def page(request: pytest.FixtureRequest) -> Page:
    return Page(render_html(request.param()))


def test_elements_are_closed_in_order(page: Page) -> None:
    assert page.faults == []


def test_ids_are_unique_and_every_link_has_its_target(page: Page) -> None:
    ids = [attributes["id"] for _, attributes, _ in page.elements if "id" in attributes]
    assert len(ids) == len(set(ids))
    targets = [link["href"] for link in page.all("a")]
    inside = [target[1:] for target in targets if target.startswith("#")]
    assert set(inside) <= set(ids)
    assert len(inside) > 20
    for _, attributes, _ in page.elements:
        assert attributes.get("aria-labelledby", ids[0]) in ids


def test_nothing_is_fetched_and_no_script_runs(page: Page) -> None:
    assert not page.all("script", "link", "iframe", "object", "embed", "base", "form")
    assert not [name for _, attributes, _ in page.elements for name in attributes if name.startswith("on")]
    outside = [a["href"] for a in page.all("a") if not a["href"].startswith("#")]
    assert all(re.match(r"https?://example\.org/", target) for target in outside)
    pictures = [image["href"] for image in page.all("image")]
    assert pictures
    assert all(picture.startswith("data:image/") for picture in pictures)
    assert not [a for _, a, _ in page.elements if "src" in a]


def test_style_loads_nothing_from_elsewhere() -> None:
    style = re.search(r"<style>(.*?)</style>", render_html(sample()), re.DOTALL)
    assert style is not None
    assert set(re.findall(r"url\((.{10})", style[1])) <= {"data:font/"}
    assert "@import" not in style[1]


def test_landmarks_and_skip_link(page: Page) -> None:
    assert [tag for tag, _, around in page.elements if around == ("html", "body")] == ["a", "header", "main", "footer"]
    first = page.all("a")[0]
    assert first == {"class": "skip", "href": "#content"}
    assert page.all("main") == [{"id": "content"}]
    assert page.all("html")[0]["lang"] == "en"


def test_headings_start_at_one_and_skip_no_level(page: Page) -> None:
    levels = [int(tag[1]) for tag, _, _ in page.elements if re.fullmatch(r"h[1-6]", tag)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))


def test_tables_have_captions_and_heads_with_scope(page: Page) -> None:
    assert len(page.all("caption")) == len(page.all("table")) >= 3
    assert all(head.get("scope") in ("col", "row", "rowgroup") for head in page.all("th"))


def test_the_route_table_stays_a_table_when_it_is_set_as_blocks(page: Page) -> None:
    roles = [a.get("role") for tag, a, around in page.elements if tag in ("tr", "td", "th") and a.get("role")]
    assert {"row", "cell", "columnheader", "rowheader"} <= set(roles)


def test_pictures_have_an_alternative_or_are_hidden(page: Page) -> None:
    for svg in page.all("svg"):
        assert svg.get("aria-hidden") == "true" or (svg["role"] == "img" and svg["aria-label"].strip())


def test_what_scrolls_can_be_reached_and_is_named(page: Page) -> None:
    regions = [a for a in page.all("div") if a.get("role") in ("region", "group")]
    assert regions
    assert all(a.get("tabindex") == "0" and (a.get("aria-label") or a.get("aria-labelledby")) for a in regions)


def test_focus_and_preferences_have_rules() -> None:
    source = render_html(sample())
    for rule in (":focus-visible{outline:", "prefers-color-scheme:dark", "@media print", "color-scheme:light dark"):
        assert rule in source


def test_nasty_texts_arrive_as_they_were_written() -> None:
    page = Page(render_html(nasty()))
    for words in NASTY:
        assert page.text.count(" ".join(printable(words).split())) >= 10


def test_right_to_left_text_is_set_apart() -> None:
    page = Page(render_html(nasty()))
    assert page.all("bdi")
    assert not Page(render_html(sample())).all("bdi")


def test_two_runs_give_the_same_page() -> None:
    assert render_html(sample()) == render_html(sample())


def test_an_empty_document_is_a_page() -> None:
    page = Page(render_html(Document("t", "", (), ())))
    assert page.faults == []
    assert page.text.startswith("t Skip to the content t")


def test_without_built_faces_the_page_falls_back(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fonts, "_web_faces", tuple)
    source = render_html(sample())
    assert "@font-face" not in source
    assert "Georgia,serif" in source
