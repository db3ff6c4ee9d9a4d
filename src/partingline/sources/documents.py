"""The bibliography: one record a document, cited by id everywhere else."""

import tomllib
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from importlib.resources import files

from partingline.model import Citation

MARKS = {
    "S": "read in the primary text",
    "S2": "read in a secondary copy",
    "M": "from memory, not confirmed: indicative only",
    "C": "computed from the stated formula",
    "P": "common practice, no source: indicative only",
}


@dataclass(frozen=True, slots=True)
class Document:
    """A published document: title as cited, edition, what we hold of it, and known misprints."""

    id: str
    title: str
    edition: str
    holds: str
    errata: str = ""


@cache
def documents() -> dict[str, Document]:
    """All documents by id."""
    raw = tomllib.loads((files("partingline.sources") / "data" / "documents.toml").read_text(encoding="utf-8"))
    return {id_: Document(id=id_, **fields) for id_, fields in raw.items()}


def cite(document: str, where: str = "", mark: str = "S2") -> Citation:
    """A citation of a known document; KeyError names the closest ids for an unknown one, ValueError an unknown mark."""
    if mark not in MARKS:
        raise ValueError(f"evidence mark {mark!r}: expected one of {', '.join(MARKS)}")
    if document not in documents():
        near = ", ".join(get_close_matches(document, documents(), n=3)) or "none near"
        raise KeyError(f"no document {document!r} in sources/data/documents.toml; did you mean: {near}")
    return Citation(document=document, where=where, mark=mark, title=documents()[document].title)
