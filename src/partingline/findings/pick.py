"""Which of several facts a rule speaks of: the worst case, whether it is known or only could be."""

from collections.abc import Collection

from partingline.facts import Book
from partingline.model import Fact, Interval, Key, Number, Text, Unit


def at_highest(book: Book, quantity: str, subject: str, by: str = "mains") -> Key:
    """The key at the highest value of a condition: a known one if there is any, else one to compute."""
    return max(_candidates(book, quantity, subject), key=lambda key: _at(key, by))


def at_lowest(book: Book, quantity: str, subject: str, by: str = "mains") -> Key:
    """The key at the lowest value of a condition: a known one if there is any, else one to compute."""
    return min(_candidates(book, quantity, subject), key=lambda key: _at(key, by))


def worst(book: Book, quantity: str, *subjects: str) -> Key:
    """The key at the highest mains; there the earliest subject named, and of that one the largest value."""
    keys = [key for subject in subjects for key in _candidates(book, quantity, subject)]
    known = [key for key in keys if book.fact(key) is not None] or keys[-1:]

    def order(key: Key) -> tuple[float, int, float]:
        return _at(key, "mains"), -subjects.index(key.subject), estimate(book, key) or 0.0

    return max(known, key=order)


def known_of(book: Book, subject: str, *quantities: str) -> Key:
    """The first of several quantities that is known of a subject, or the first."""
    keys = [Key.of(subject, quantity) for quantity in quantities]
    return next((key for key in keys if book.fact(key) is not None), keys[0])


def estimate(book: Book, key: Key) -> float | None:
    """The number of a fact, the middle of an interval; None where it is unknown or text."""
    fact = book.fact(key)
    return None if fact is None or isinstance(fact.preferred.value, Text) else float(book.draws(key)[0])


def spread(book: Book, key: Key) -> float:
    """Standard uncertainty over value of a fact; infinite where it is unknown or text."""
    fact = book.fact(key)
    known = fact is not None and isinstance(fact.preferred.value, Number) and fact.value
    return fact.u / abs(fact.value) if fact is not None and known else float("inf")


def worded(fact: Fact) -> str:
    """A fact said in words; "" where it is a number."""
    value = fact.preferred.value
    return value.text if isinstance(value, Text) else ""


def said_at(key: Key, condition: str = "mains") -> object:
    """A condition of a key as a sentence slot: `264 V`, or `an unknown voltage`."""
    value = key.condition(condition)
    return (value, "input_voltage") if isinstance(value, float) else "an unknown voltage"


def label_mains(book: Book) -> float | Key:
    """The highest mains voltage that the label allows, V, or the key that would tell it."""
    key = Key.of("unit", "rated_input_voltage")
    fact = book.fact(key)
    known = fact is not None and isinstance(fact.preferred.value, Interval)
    return fact.interval.high if fact and known else key


def barriers(unit: Unit, book: Book) -> tuple[str, ...]:
    """The insulation barriers whose spacing was read, and the main one where a listed transformer bridges it."""
    keys = (*book.keys("clearance", "barrier:"), *book.keys("creepage", "barrier:"))
    listed = ("barrier:main",) if unit.having("transformer") else ()
    return tuple(sorted({*listed, *(key.subject for key in keys)}))


def highest_offer(unit: Unit, book: Book, ports: Collection[str]) -> float | None:
    """The highest output voltage that one of the ports offers or the label promises, V; None where none is known."""
    offered = [offer.voltage for port in unit.ports if port.id in ports for offer in port.offers]
    keys = (*book.keys("available_current", "port:"), *book.keys("pps_current", "port:"))
    printed = [_at(key, "offer") for key in keys if key.subject.removeprefix("port:") in ports]
    return max([*offered, *printed], default=None) or None


def said_or(book: Book, key: Key, otherwise: str) -> object:
    """A fact as a sentence slot that leads to it, or plain words where it is unknown."""
    return key if book.fact(key) is not None else otherwise


def _candidates(book: Book, quantity: str, subject: str) -> list[Key]:
    keys = [key for key in book.keys(quantity, subject) if key.subject == subject]
    return [key for key in keys if book.fact(key) is not None] or keys or [Key.of(subject, quantity)]


def _at(key: Key, condition: str) -> float:
    value = key.condition(condition)
    return value if isinstance(value, float) else 0.0
