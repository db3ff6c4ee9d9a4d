"""Templates filled with the facts of a unit: sections of shots and sentences, with their reading time."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from partingline.facts.opened import Opened
from partingline.model import Fact, Finding, Key, OpeningStep, Verdict
from partingline.publish.script.spoken import ENGLISH, Said, say
from partingline.publish.script.templates import Template, TemplateLine, read_templates
from partingline.publish.words.languages import Language, language, summary
from partingline.sources import roles

PACE = 150.0
"""Words a minute: common practice, no source."""
HAN_A_WORD = 1.6
"""Chinese characters that take as long as a word: 240 a minute beside 150 words. Common practice, no source."""
_HAN = "\u4e00"
_SLOT = re.compile(r"\{([^}|]+)(?:\|(\w+))?\}")
_PICTURES = (".jpg", ".jpeg", ".png", ".webp")


@dataclass(frozen=True, slots=True)
class Shot:
    """What the camera shows: words, and the photo or pin behind them ('' where there is none)."""

    text: str
    photo: str = ""
    subject: str = ""


@dataclass(frozen=True, slots=True)
class Line:
    """A sentence as written, as read aloud, and the facts that its figures are bound to."""

    text: str
    aloud: str
    facts: tuple[Key, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """A section of the script; `seconds` is its reading time."""

    title: str
    shots: tuple[Shot, ...]
    lines: tuple[Line, ...]
    seconds: float


@dataclass(frozen=True, slots=True)
class Draft:
    """The whole script."""

    unit: str
    parts: tuple[Part, ...]
    pace: float
    target_s: float | None = None
    language: Language = field(default_factory=lambda: language("en"))

    @property
    def seconds(self) -> float:
        """The reading time of all sections."""
        return sum(part.seconds for part in self.parts)


def draft(
    opened: Opened, findings: Sequence[Finding], *, pace: float = PACE, target_s: float | None = None,
    templates: Path | None = None, tag: str = "en",
) -> Draft:  # fmt: skip
    """Fill the templates. A sentence with an unknown figure is left out, and so is a section without any line.

    templates: a folder instead of the language's own. tag: the language of headings, numbers and units.
    """
    told = language(tag)
    filler = _Filler(opened, findings, told)
    parts = [filler.part(template, pace) for template in read_templates(templates, tag)]
    return Draft(opened.unit.name, tuple(part for part in parts if part.lines), pace, target_s, told)


def spoken_words(text: str) -> float:
    """How many words long a text is; a Chinese character counts as a part of one."""
    han = sum(one >= _HAN for one in text)
    return len("".join(" " if one >= _HAN else one for one in text).split()) + han / HAN_A_WORD


class _Filler:
    def __init__(self, opened: Opened, findings: Sequence[Finding], told: Language) -> None:
        self.opened, self.book, self.unit, self.told = opened, opened.book, opened.unit, told
        self.words = {
            "name": self.unit.name,
            "kind": told.kind(self.unit),
            "verdict": _verdict(findings) if told.id == ENGLISH else summary(findings, told),
        }
        self.photos = opened.folder.names("photos", *_PICTURES)
        self.holds = {
            "invented": self.unit.invented,
            "mains": self.unit.fed_by_mains,
            "cells": self.unit.kind.casefold() == "power bank",
            "boards": self.unit.kind.casefold() != "cable",
        }

    def part(self, template: Template, pace: float) -> Part:
        shots: list[Shot] = []
        lines: list[Line] = []
        for line in template.lines:
            if line.only and not self.holds[line.only]:
                continue
            for around in self._around(line):
                if line.shot:
                    shots += self._shot(line.text, around)
                elif (filled := self._line(line.text, around)) is not None:
                    lines.append(filled)
        words = sum(spoken_words(line.aloud) for line in lines)
        return Part(template.title, tuple(dict.fromkeys(shots)), tuple(lines), 60.0 * words / pace)

    def _around(self, line: TemplateLine) -> Iterator[dict[str, object]]:
        """What a line is repeated for: a role's parts, ports, offers, or facts under several conditions."""
        if not line.each:
            yield {}
        elif line.each == "port":
            for port in self.unit.ports:
                yield {"ref": port.id, "subject": port.subject}
        elif line.each == "step":
            for step in self.unit.opening:
                yield {"ref": step.does, "step": step}
        elif line.each == "offer":
            for port in self.unit.ports:
                offers = self.book.find("available_current", port.subject)
                for fact in sorted(offers, key=lambda one: one.key.number("offer")):
                    yield {"ref": port.id, "fact": fact}
        elif line.each in roles():
            for part in self.unit.having(line.each):
                yield {"ref": part.ref, "subject": part.subject}
        else:
            yield from self._facts(line)

    def _facts(self, line: TemplateLine) -> Iterator[dict[str, object]]:
        slot = next((m[1] for m in _SLOT.finditer(line.text) if m[1].startswith(line.each + "/")), "")
        found = self.book.find(slot.partition("/")[2])
        if line.each in ("hottest", "ripple"):
            found = found if not found else (max(found, key=lambda fact: fact.value),)
        for fact in found:
            yield {"fact": fact}

    def _line(self, text: str, around: dict[str, object]) -> Line | None:
        facts: list[Key] = []
        written, aloud, at = "", "", 0
        for slot in _SLOT.finditer(text):
            said = self._slot(slot[1], slot[2], around)
            if said is None:
                return None
            facts += [said.key] if said.key else []
            plain = text[at : slot.start()]
            written, aloud, at = written + plain + said.text, aloud + plain + said.aloud, slot.end()
        return Line(written + text[at:], aloud + text[at:], tuple(facts))

    def _slot(self, name: str, route: str | None, around: dict[str, object]) -> Said | None:
        if name in self.words or name == "ref":
            word = str(around.get("ref", "")) if name == "ref" else self.words[name]
            return Said(word, word) if word else None
        fact = around.get("fact")
        if name in ("mains", "volts") and isinstance(fact, Fact):
            value = fact.key.condition("mains" if name == "mains" else "offer")
            volts = Fact(Key.of("unit", "port_voltage"), fact.statements, fact.standings, 0.0, frozenset())
            return say(volts, self.told, None, value) if isinstance(value, float) else None
        head, _, quantity = name.partition("/")
        if isinstance(fact, Fact) and fact.key.quantity == quantity:
            return say(fact, self.told, route)
        subject = str(around.get("subject", "")) if head in ("part", "port") else head
        known = self.book.fact(Key.of(subject, quantity))
        if known is None and (found := self.book.find(quantity, subject)):
            known = max(found, key=lambda one: one.value)
        return say(known, self.told, route) if known is not None else None

    def _shot(self, text: str, around: dict[str, object]) -> list[Shot]:
        word, _, rest = text.partition(" ")
        if word == "photo":
            match = next((photo for photo in self.photos if Path(photo).stem == rest), "")
            name = self.told.strings.get(f"photo_{rest.replace('-', '_')}", rest.replace("-", " "))
            return [Shot(self.told("shot_photo", name=name), match)] if match else []
        if word == "pin":
            mark = next((mark for mark in self.opened.marks if mark.subject == around.get("subject")), None)
            return [Shot(self.told("shot_pin", name=around.get("ref")), mark.photo, mark.subject)] if mark else []
        step = around.get("step")
        if isinstance(step, OpeningStep):
            return [Shot(text.replace("{ref}", step.does), step.photo)]
        return [Shot(text)]


def _verdict(findings: Sequence[Finding]) -> str:
    short = [finding for finding in findings if finding.verdict is Verdict.FALLS_SHORT]
    if not short:
        return "Nothing that was judged falls short."
    return " ".join(["Here is what falls short.", *(finding.text for finding in short)])
