"""Which of several facts a rule speaks of: the worst case, whether it is known or only could be."""

from partingline.facts import Book
from partingline.model import Key, Number


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
    return max(known, key=lambda key: (_at(key, "mains"), -subjects.index(key.subject), _value(book, key)))


def _candidates(book: Book, quantity: str, subject: str) -> list[Key]:
    keys = [key for key in book.keys(quantity, subject) if key.subject == subject]
    return [key for key in keys if book.fact(key) is not None] or keys or [Key.of(subject, quantity)]


def _at(key: Key, condition: str) -> float:
    value = key.condition(condition)
    return value if isinstance(value, float) else 0.0


def _value(book: Book, key: Key) -> float:
    fact = book.fact(key)
    return fact.value if fact is not None and isinstance(fact.preferred.value, Number) else 0.0
