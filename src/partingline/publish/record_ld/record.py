"""A unit as a schema.org Dataset about a Product: every fact a PropertyValue, every file with its hash."""

import math
from collections.abc import Sequence
from typing import Any

from partingline import __version__
from partingline.facts.opened import Opened
from partingline.facts.show import key_text, show_fact
from partingline.model import Fact, Finding, Interval, Number, Route, Text
from partingline.publish.words.languages import Language
from partingline.sources import quantities

CONTEXT = {"@vocab": "https://schema.org/", "sdo": "https://schema.org/"}
_CODES = {
    "V": "VLT", "A": "AMP", "W": "WTT", "Ω": "OHM", "F": "FAR", "H": "81", "Hz": "HTZ", "s": "SEC", "m": "MTR",
    "kg": "KGM", "degC": "CEL", "J": "JOU", "1": "C62", "m³": "MTQ", "m²": "MTK", "degree": "DD",
}  # fmt: skip
"""UN/CEFACT Recommendation 20 common codes. From memory, not confirmed."""


def record_ld(opened: Opened, facts: Sequence[Fact], findings: Sequence[Finding], language: Language) -> dict[str, Any]:
    """The record as plain data, ready for `json.dump`."""
    unit = opened.unit
    return {
        "@context": CONTEXT,
        "@id": f"#{unit.folder}",
        "@type": "Dataset",
        "name": unit.name,
        "description": unit.title or unit.kind,
        "inLanguage": language.id,
        "dateCreated": unit.examined.isoformat() if unit.examined else None,
        "creativeWorkStatus": "invented example" if unit.invented else "published",
        "about": {
            "@type": "Product", "@id": f"#{unit.folder}-product", "name": unit.name, "model": unit.model,
            "category": unit.kind,
            "brand": {"@type": "Brand", "name": unit.maker},
        },
        "measurementTechnique": sorted({s.route.value for fact in facts for s in fact.statements}),
        "variableMeasured": [_property(fact) for fact in facts],
        "distribution": _files(opened, facts),
        "review": [_finding(finding) for finding in findings],
        "creator": {"@type": "SoftwareApplication", "name": "Partingline", "softwareVersion": __version__},
    }  # fmt: skip


def _property(fact: Fact) -> dict[str, Any]:
    known = quantities().get(fact.key.quantity)
    value = fact.preferred.value
    told: dict[str, Any] = {
        "@type": "PropertyValue",
        "@id": f"#{_fragment(fact.key.id)}",
        "propertyID": fact.key.id,
        "name": key_text(fact.key),
    }
    if isinstance(value, Text):
        return {**told, "value": value.text, "measurementTechnique": _routes(fact)}
    unit = known.unit if known else ""
    told |= {"unitText": unit, "description": show_fact(fact), "measurementTechnique": _routes(fact)}
    if unit in _CODES:
        told["unitCode"] = _CODES[unit]
    if isinstance(value, Interval):
        return {**told, "minValue": value.low, "maxValue": value.high}
    if isinstance(value, Number) and math.isfinite(value.value):
        told["value"] = value.value
        if fact.u and math.isfinite(fact.u):
            told["valueReference"] = {
                "@type": "PropertyValue",
                "name": "standard uncertainty",
                "value": fact.u,
                "unitText": unit,
            }
    return told


def _routes(fact: Fact) -> list[str]:
    return list(dict.fromkeys(s.route.value for s in fact.statements if s.route is not Route.ASSUMED)) or ["assumed"]


def _files(opened: Opened, facts: Sequence[Fact]) -> list[dict[str, str]]:
    paths = sorted({(e.path, e.sha256) for fact in facts for s in fact.statements for e in s.evidence if e.sha256})
    return [
        {"@type": "DataDownload", "@id": f"#{_fragment(path)}", "name": path, "contentUrl": path, "sha256": digest}
        for path, digest in paths
    ]


def _finding(finding: Finding) -> dict[str, Any]:
    return {
        "@type": "Review", "name": finding.rule, "reviewBody": finding.text, "reviewAspect": finding.subject,
        "abstract": finding.verdict.value, "citation": str(finding.citation),
        "author": {"@type": "SoftwareApplication", "name": "Partingline"},
    }  # fmt: skip


def _fragment(text: str) -> str:
    from urllib.parse import quote

    return quote(text, safe="/:@=,+-._~")
