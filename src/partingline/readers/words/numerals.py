"""Numbers in English words and digits: `twenty seven`, `two sixty four`, `point oh five`, `three and a quarter`, `4.7`.

Where words have two meanings (`three twenty five` is 325 or 3.25) both readings are kept, the likelier first.
"""

from dataclasses import dataclass

from partingline.readers.words.types import Reading, Token

DIGITS = {
    "zero": 0, "oh": 0, "nought": 0, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7,
    "eight": 8, "nine": 9,
}  # fmt: skip
TEENS = {
    "ten": 10, "eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14, "fifteen": 15, "sixteen": 16,
    "seventeen": 17, "eighteen": 18, "nineteen": 19,
}  # fmt: skip
TENS = {
    "twenty": 20, "thirty": 30, "forty": 40, "fourty": 40, "fifty": 50, "sixty": 60, "seventy": 70, "eighty": 80,
    "ninety": 90,
}  # fmt: skip
SCALES = {"thousand": 1000, "million": 1_000_000}
FRACTIONS = {
    "half": 0.5, "quarter": 0.25, "third": 1 / 3, "quarters": 0.25, "halves": 0.5, "thirds": 1 / 3, "tenth": 0.1,
    "tenths": 0.1, "eighth": 0.125, "eighths": 0.125,
}  # fmt: skip
_POINT = {"point", "dot"}
_FROM_DIGITS = {str(n): n for n in range(10)}


@dataclass(frozen=True, slots=True)
class Numeral:
    """A number up to token `end` (exclusive): its readings and whether it was spelled in words."""

    readings: tuple[Reading, ...]
    end: int
    spelled: bool


def numeral_at(tokens: tuple[Token, ...], at: int) -> Numeral | None:
    """The number that begins at a token, None where there is none."""
    if at >= len(tokens):
        return None
    word = tokens[at].low
    if word in ("minus", "negative", "−", "-") and at + 1 < len(tokens):
        return _negative(tokens, at)
    if word[0].isdigit():
        return _digits(tokens, at)
    found = _fraction(tokens, at) or _words(tokens, at)
    return found


def _negative(tokens: tuple[Token, ...], at: int) -> Numeral | None:
    if tokens[at].low in "−-" and (at == 0 or tokens[at + 1].start != tokens[at].end or _is_number(tokens, at - 1)):
        return None
    inner = numeral_at(tokens, at + 1)
    if inner is None:
        return None
    return Numeral(tuple(Reading(-r.value, r.half) for r in inner.readings), inner.end, inner.spelled)


def _is_number(tokens: tuple[Token, ...], at: int) -> bool:
    return at >= 0 and tokens[at].low[0].isdigit()


def _digits(tokens: tuple[Token, ...], at: int) -> Numeral:
    """`4.7`, `4,700`, `4 point 7`, `3 1/4`, `4 hundred`."""
    body = tokens[at].text
    value, half = _plain(body)
    end = at + 1
    if body.isdigit() and _low(tokens, end) in _POINT and (tail := _decimals(tokens, end + 1)) is not None:
        digits, end = tail
        text = f"{body}.{digits}"
        return Numeral((_reading(text),), end, False)
    if _low(tokens, end) == "/" and body.isdigit() and _low(tokens, end + 1) in ("2", "4", "8"):
        return Numeral((Reading(int(body) / int(tokens[end + 1].text), 0.005),), end + 2, False)
    if (tail2 := _and_fraction(tokens, end)) is not None:
        return Numeral((Reading(value + tail2[0], 0.03),), tail2[1], False)
    if _low(tokens, end) == "hundred":
        value, half, end = value * 100, 0.5, end + 1
    while _low(tokens, end) in SCALES:
        scale = SCALES[_low(tokens, end)]
        value, half, end = value * scale, half * scale, end + 1
    return Numeral((Reading(value, half),), end, False)


def _plain(body: str) -> tuple[float, float]:
    """A written number; a comma before three digits separates thousands, in speech's language."""
    groups = body.split(",")
    if len(groups) > 1 and all(len(group.partition(".")[0]) == 3 for group in groups[1:]) and groups[0] != "0":
        body = "".join(groups)
    body = body.replace(",", ".")
    if body.count(".") > 1:
        body = body.partition(".")[0]
    reading = _reading(body)
    return reading.value, reading.half


def _reading(text: str) -> Reading:
    places = len(text.partition(".")[2])
    return Reading(float(text), 0.5 * 10.0**-places)


def _words(tokens: tuple[Token, ...], at: int) -> Numeral | None:
    word = tokens[at].low
    if word in _POINT:
        tail = _decimals(tokens, at + 1)
        return Numeral((_reading(f"0.{tail[0]}"),), tail[1], True) if tail else None
    if word in ("a", "an", "one") and _low(tokens, at + 1) in ("hundred", "thousand", "million"):
        whole: tuple[list[int], int] | None = _cardinal(tokens, at + 1, 1)
    else:
        whole = _cardinal(tokens, at, None)
    if whole is None:
        return None
    values, end = whole
    if _low(tokens, end) in _POINT and (tail := _decimals(tokens, end + 1)) is not None:
        return _with_scale(tokens, f"{values[0]}.{tail[0]}", tail[1])
    if (more := _and_fraction(tokens, end)) is not None:
        return Numeral((Reading(values[0] + more[0], 0.03),), more[1], True)
    readings = tuple(Reading(float(v), 0.5) for v in values)
    if len(values) > 1 and 100 <= values[0] < 1000 and values[1] < 10**6:
        readings = (readings[0], Reading(values[1] / 100, 0.005))
    return Numeral(readings, end, True)


def _with_scale(tokens: tuple[Token, ...], text: str, end: int) -> Numeral:
    """`one point five thousand`."""
    reading = _reading(text)
    while _low(tokens, end) in SCALES:
        scale = SCALES[_low(tokens, end)]
        reading, end = Reading(reading.value * scale, reading.half * scale), end + 1
    return Numeral((reading,), end, True)


def _cardinal(  # noqa: C901 - one grammar, branch by branch
    tokens: tuple[Token, ...], at: int, first: int | None
) -> tuple[list[int], int] | None:
    """A whole number; a second value where the words are `three fifteen`: 315, and 315 hundredths."""
    head, end = (first, at) if first is not None else _below_hundred(tokens, at)
    if head is None:
        return None
    total, current, loose = 0, head, False
    while end < len(tokens):
        word = tokens[end].low
        if word == "hundred" and current < 100:
            current, end = current * 100, end + 1
        elif word in SCALES:
            total, current, end = total + current * SCALES[word], 0, end + 1
            if _low(tokens, end) == "," and _low(tokens, end + 2) == "hundred":
                end += 1
        elif word == "and" and (current % 100 == 0 or (current == 0 and total)) and (current or total):
            part, after = _below_hundred(tokens, end + 1)
            if part is None or _low(tokens, after) == "hundred" or _starts_other(tokens, after):
                break
            current, end = current + part, after
        elif word in ("-", "‐") and _low(tokens, end + 1) in DIGITS and current % 10 == 0 and current % 100 >= 20:
            current, end = current + DIGITS[_low(tokens, end + 1)], end + 2
        else:
            part, after = _below_hundred(tokens, end)
            if part is None:
                break
            if current == 0 and total:
                current, end = part, after
            elif current % 100 == 0 and current:
                current, end = current + part, after
            elif current < 20 and part >= 10 and not loose and total == 0 and current > 0:
                if part > 20 and part % 10 and _low(tokens, after) == "hundred":
                    part, after = part - part % 10, after - 1  # `two thirty` and `one hundred`
                current, end, loose = current * 100 + part, after, True
            elif current < 20 and part < 10 and total == 0 and not loose and _digit_run(tokens, end - 1):
                return _spelled_out(tokens, end - 1)
            else:
                break
    value = total + current
    return ([value, value] if loose else [value]), end


def _starts_other(tokens: tuple[Token, ...], after: int) -> bool:
    """`three hundred and fifty by ...` is fine; `one hundred and two forty` begins another number."""
    return _below_hundred(tokens, after)[0] is not None


def _below_hundred(tokens: tuple[Token, ...], at: int) -> tuple[int | None, int]:
    word = _low(tokens, at)
    if word in TENS:
        after = at + 1
        if _low(tokens, after) in ("-", "‐") and DIGITS.get(_low(tokens, after + 1), 0) > 0:
            after += 1
        digit = DIGITS.get(_low(tokens, after), 0)
        return (TENS[word] + digit, after + 1) if digit else (TENS[word], at + 1)
    if word in TEENS:
        return TEENS[word], at + 1
    if word in DIGITS:
        return DIGITS[word], at + 1
    return None, at


def _digit_run(tokens: tuple[Token, ...], at: int) -> bool:
    return _low(tokens, at) in DIGITS and _low(tokens, at + 1) in DIGITS


def _spelled_out(tokens: tuple[Token, ...], at: int) -> tuple[list[int], int]:
    """`two three zero`: digits one by one."""
    text, end = "", at
    while _low(tokens, end) in DIGITS:
        text, end = text + str(DIGITS[_low(tokens, end)]), end + 1
    return [int(text)], end


def _decimals(tokens: tuple[Token, ...], at: int) -> tuple[str, int] | None:
    """The digits behind `point`: `four seven`, `forty seven`, `oh five`, `47`."""
    text, end = "", at
    while end < len(tokens):
        word = tokens[end].low
        if word.isdigit():
            text, end = text + word, end + 1
        elif word in DIGITS:
            text, end = text + str(DIGITS[word]), end + 1
        elif word in TEENS and not text:
            text, end = str(TEENS[word]), end + 1
        elif word in TENS and len(text) < 3:
            value, end = _below_hundred(tokens, end)
            text += str(value)
        else:
            break
    return (text, end) if text else None


def _fraction(tokens: tuple[Token, ...], at: int) -> Numeral | None:
    """`half`, `a quarter of an`, `three quarters of an`."""
    word, following = _low(tokens, at), _low(tokens, at + 1)
    end, count = at, 1
    if word in ("a", "an"):
        end = at + 1
    elif word in DIGITS and following in FRACTIONS:
        end, count = at + 1, DIGITS[word]
    share = FRACTIONS.get(_low(tokens, end))
    if share is None or not count:
        return None
    end += 1
    if _low(tokens, end) == "of":
        end += 1
    if _low(tokens, end) in ("a", "an"):
        end += 1
    value = share * count
    return Numeral((Reading(value, 0.02 * value),), end, True)


def _and_fraction(tokens: tuple[Token, ...], at: int) -> tuple[float, int] | None:
    """`... and a quarter`, `... and three quarters`, `... and a half`."""
    if _low(tokens, at) != "and":
        return None
    word = _low(tokens, at + 1)
    count = 1 if word in ("a", "an") else DIGITS.get(word)
    share = FRACTIONS.get(_low(tokens, at + 2))
    if count and share:
        return count * share, at + 3
    return (FRACTIONS[word], at + 2) if word in ("half",) else None


def _low(tokens: tuple[Token, ...], at: int) -> str:
    return tokens[at].low if 0 <= at < len(tokens) else ""
