"""Reads a rendered page back with Python's own HTML parser: elements with their attributes, texts, nesting."""

from html.parser import HTMLParser

VOID = {"meta", "br", "link", "img", "input", "hr"}


class Page(HTMLParser):
    """`elements` in order as (tag, attributes, names of the elements around it); `words` the text outside style."""

    def __init__(self, source: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str], tuple[str, ...]]] = []
        self.open: list[str] = []
        self.words: list[str] = []
        self.faults: list[str] = []
        self.feed(source)
        self.close()
        self.faults += [f"never closed: {tag}" for tag in self.open]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, {key: value or "" for key, value in attrs}, tuple(self.open)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, {key: value or "" for key, value in attrs}, tuple(self.open)))

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.faults.append(f"</{tag}> closes something else, near line {self.getpos()[0]}")

    def handle_data(self, data: str) -> None:
        if "style" not in self.open:
            self.words.append(data)

    def all(self, *tags: str) -> list[dict[str, str]]:
        """The attributes of every element with one of the names."""
        return [attributes for tag, attributes, _ in self.elements if tag in tags]

    @property
    def text(self) -> str:
        """All the text, blanks collapsed."""
        return " ".join("".join(self.words).split())
