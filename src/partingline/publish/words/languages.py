"""Fixed strings and numbers in the languages of a publication: one data file a language in `strings/`."""

import re
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from partingline.facts.show import subject_text
from partingline.model import Finding, Key, Part, Unit, Verdict
from partingline.sources import quantities, roles

_POINT = re.compile(r"(?<=\d)\.(?=\d)")


@dataclass(frozen=True, slots=True)
class Language:
    """A language: BCP 47 tag, decimal sign, strings by name, names of quantities and roles, units as they are read."""

    id: str
    decimal: str
    strings: dict[str, str]
    quantities: dict[str, str]
    roles: dict[str, str]
    units: dict[str, str]

    def __call__(self, name: str, /, **filled: object) -> str:
        """A fixed string, filled; KeyError for an unknown one."""
        return self.strings[name].format(**filled)

    def number(self, text: str) -> str:
        """A printed number or quantity with this language's decimal sign."""
        return text if self.decimal == "." else _POINT.sub(self.decimal, text)

    def quantity_aloud(self, number: str, unit: str) -> str:
        """`0,47 Mikrofarad`: a number and its unit as they are written to be read."""
        return f"{self.number(number)} {self.units.get(unit, unit)}".rstrip()

    def conditions(self, key: Key) -> str:
        """The conditions of a fact: `115 V Netz, 20 V, 25 % Last`."""
        told = []
        for name, value in key.at:
            shown = (
                f"{value * 100:g}"
                if name == "load" and isinstance(value, float)
                else f"{value:g}"
                if isinstance(value, float)
                else value
            )
            told.append(self(name, value=self.number(shown)) if name in self.strings else f"{name} {shown}")
        return ", ".join(told)

    def quantity(self, id_: str) -> str:
        """The name of a quantity; the glossary's where the language has none."""
        known = quantities().get(id_)
        return self.quantities.get(id_) or (known.name if known else id_)

    def kind(self, unit: Unit) -> str:
        """What a unit is: its own title in English; elsewhere its kind, where the language has a word for it."""
        word = self.strings.get(f"kind_{unit.kind.replace(' ', '_')}", "")
        return unit.title or unit.kind if self.id == "en" else word or unit.kind

    def part(self, part: Part) -> str:
        """`C3 bulk capacitor`: the reference and the role, or the kind, of a part."""
        known = roles().get(part.role or "")
        return f"{part.ref} {self.roles.get(part.role or '') or (known.name if known else part.kind)}"

    def subject(self, subject: str, parts: Mapping[str, Part]) -> str:
        """The unit, a port, ports together, a stage, or a part by its reference and role."""
        kind, _, name = subject.partition(":")
        if kind in ("port", "ports"):
            return self("port", id=name) if kind == "port" else self("ports", ids=name.replace("+", ", "))
        if subject in parts:
            return self.part(parts[subject])
        return self.strings.get(subject.replace(":", "_"), subject_text(subject))


def languages() -> tuple[str, ...]:
    """The tags that there is a data file for."""
    folder = files("partingline.publish.words") / "strings"
    return tuple(sorted(entry.name.removesuffix(".toml") for entry in folder.iterdir() if entry.name.endswith(".toml")))


def frame(tag: str) -> Mapping[str, str]:
    """Fixed words of a page's frame and tables, by name: in English where there is no such language."""
    return language(tag if tag in languages() else "en").strings


def summary(findings: Sequence[Finding], told: Language) -> str:
    """How many findings there are, how many fall short, how many are open."""
    open_ = (Verdict.UNDECIDED, Verdict.NOT_ENOUGH_DATA)
    short = sum(finding.verdict is Verdict.FALLS_SHORT for finding in findings)
    return told("summary", all=len(findings), short=short, open=sum(f.verdict in open_ for f in findings))


@cache
def language(tag: str) -> Language:
    """One language; ValueError names those that there are."""
    if tag not in languages():
        raise ValueError(f"no language '{tag}'; expected one of {', '.join(languages())}")
    text = (files("partingline.publish.words") / "strings" / f"{tag}.toml").read_text(encoding="utf-8")
    raw = tomllib.loads(text)
    return Language(
        tag, raw["decimal"], raw["strings"], raw.get("quantities", {}), raw.get("roles", {}), raw.get("units", {})
    )
