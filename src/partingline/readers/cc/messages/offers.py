"""Offers as a person writes them: `5V 3A`, `5V⎓3A`, `PPS 3.3–11V⎓5A`, `AVS 15-28V 140W`, `0x0801912C`."""

from __future__ import annotations

import re

from partingline.readers.cc.messages.pdo import Battery, EprAvs, FixedSource, Pdo, Pps, SprAvs, Variable
from partingline.readers.cc.messages.pdo_words import decode_pdo, encode_pdo

EXPECTED = (
    "expected one of: '20 V 3.25 A', 'PPS 5-21 V 3.25 A', 'SPR AVS 9-15 V 3 A, 15-20 V 3.25 A', "
    "'AVS 15-28 V 140 W', 'Battery 9-21 V 45 W', 'Variable 9-21 V 3 A', or a 32-bit word such as 0x0801912C"
)

_NUMBER = r"(\d+(?:\.\d+)?|\.\d+)"
_RANGE = re.compile(rf"{_NUMBER}\s*v?\s*-\s*{_NUMBER}\s*v\s*{_NUMBER}\s*(a|w)")
_POINT = re.compile(rf"{_NUMBER}\s*v\s*{_NUMBER}\s*a")
_WORD = re.compile(r"(?:0x)?([0-9a-f]{8})")
_KEYWORD = re.compile(r"\b(spr avs|epr avs|avs|pps|prog|programmable|battery|variable|fixed|pdo)\b")
_KINDS = {"prog": "pps", "programmable": "pps", "pdo": "fixed", "fixed": "fixed"}


def parse_offer(text: str) -> Pdo:
    """The source object that `text` describes.

    Voltage then current (or power), any usual dash, a decimal comma, `⎓` or `=` between them, the kind before
    or after. Raises ValueError telling what was expected when the text is anything else or a value is off its
    step.
    """
    plain = _plain(text)
    raw = _WORD.fullmatch(plain)
    if raw:
        return decode_pdo(int(raw[1], 16))
    words = [_KINDS.get(word, word) for word in _KEYWORD.findall(plain)]
    values = _KEYWORD.sub(" ", plain).strip(" :,;")
    if len(set(words)) > 1:
        raise ValueError(f"offer '{text}' names more than one kind ({', '.join(words)}): {EXPECTED}")
    try:
        offer = _build(words[0] if words else "", values)
        encode_pdo(offer)
    except ValueError as fault:
        raise ValueError(f"offer '{text}': {fault}") from None
    return offer


def _plain(text: str) -> str:
    text = text.strip().lower()
    text = re.sub(r"[‐‑‒–—−~]|\bto\b|\.\.\.|…", "-", text)
    text = re.sub(r"(?<=\d),(?=\d)", ".", text)
    text = re.sub(r"[⎓=/@·*×_]|\bdc\b", " ", text)
    text = re.sub(r"\bvolts?\b", "v", text)
    text = re.sub(r"\b(amps?|amperes?)\b", "a", text)
    text = re.sub(r"\bwatts?\b", "w", text)
    return " ".join(text.split())


def _build(kind: str, values: str) -> Pdo:
    point = _POINT.fullmatch(values)
    if point and kind in ("", "fixed"):
        return FixedSource(voltage_v=float(point[1]), current_a=float(point[2]))
    ranges = [_RANGE.fullmatch(part.strip()) for part in values.split(",")]
    found = [(float(r[1]), float(r[2]), float(r[3]), r[4]) for r in ranges if r]
    if not found or len(found) != len(ranges):
        raise ValueError(EXPECTED)
    if any(low > high for low, high, *_ in found):
        raise ValueError("the range runs backwards: expected the lower voltage first")
    if kind in ("avs", "spr avs") and all(unit == "a" for *_, unit in found):
        return _spr_avs([(low, high, value) for low, high, value, _ in found])
    if len(found) > 1:
        raise ValueError("several ranges belong to SPR AVS only; write the others one at a time")
    low, high, value, unit = found[0]
    return _ranged(kind, low, high, value, unit)


def _ranged(kind: str, low: float, high: float, value: float, unit: str) -> Pdo:
    if kind == "pps" and unit == "a":
        return Pps(min_v=low, max_v=high, current_a=value)
    if kind in ("avs", "epr avs") and unit == "w":
        return EprAvs(min_v=low, max_v=high, pdp_w=value)
    if kind == "battery" and unit == "w":
        return Battery(min_v=low, max_v=high, power_w=value)
    if kind == "variable" and unit == "a":
        return Variable(min_v=low, max_v=high, current_a=value)
    if kind == "":
        raise ValueError("a voltage range needs its kind: write PPS, SPR AVS, AVS, Battery or Variable first")
    raise ValueError(EXPECTED)


def _spr_avs(ranges: list[tuple[float, float, float]]) -> SprAvs:
    low_a = high_a = 0.0
    for low, high, current in ranges:
        if (low, high) not in ((9, 15), (15, 20), (9, 20)):
            raise ValueError("SPR AVS ranges are 9-15 V, 15-20 V, or 9-20 V for one current over both")
        low_a = current if low == 9 else low_a
        high_a = current if high == 20 else high_a
    return SprAvs(current_15v_a=low_a, current_20v_a=high_a)
