"""What is spoken of: a subject, a quantity, and the conditions under which."""

from dataclasses import dataclass
from functools import cached_property
from typing import Self

Condition = float | str


@dataclass(frozen=True)
class Key:
    """The identity of a fact.

    `subject` is `unit`, `port:C1`, `ports:A1+C1`, `part:C3`, `stage:input`, `barrier:main`, `capture:name`.
    `quantity` and the names of the conditions are glossary ids; conditions are in SI units.
    """

    subject: str
    quantity: str
    at: tuple[tuple[str, Condition], ...] = ()

    @classmethod
    def of(cls, subject: str, quantity: str, **at: Condition) -> Self:
        """A key with its conditions in a fixed order."""
        return cls(subject, quantity, tuple(sorted((name, _plain(value)) for name, value in at.items())))

    @cached_property
    def id(self) -> str:
        """`port:C1/current@mains_voltage=230,output_voltage=20`: unique, and stable between runs."""
        if not self.at:
            return f"{self.subject}/{self.quantity}"
        conditions = ",".join(f"{name}={_write(value)}" for name, value in self.at)
        return f"{self.subject}/{self.quantity}@{conditions}"

    @classmethod
    def parse(cls, text: str) -> Self:
        """The inverse of `id`; ValueError says what was expected."""
        head, _, tail = text.partition("@")
        subject, slash, quantity = head.partition("/")
        if not (subject and slash and quantity):
            raise ValueError(f"{text!r} is no fact id: expected SUBJECT/QUANTITY, as part:C3/capacitance")
        at: dict[str, Condition] = {}
        for condition in filter(None, tail.split(",")):
            name, equals, value = condition.partition("=")
            if not equals:
                raise ValueError(f"{text!r}: {condition!r} is no condition: expected NAME=VALUE, as mains_voltage=230")
            at[name] = _read(value)
        return cls.of(subject, quantity, **at)

    def condition(self, name: str) -> Condition | None:
        """The value of one condition, or None."""
        return dict(self.at).get(name)

    def number(self, name: str) -> float:
        """The value of one numeric condition; KeyError when it is absent or text."""
        value = dict(self.at)[name]
        if isinstance(value, str):
            raise KeyError(f"{self.id}: condition {name} is text")
        return value

    def __str__(self) -> str:
        return self.id


def _plain(value: Condition) -> Condition:
    return value if isinstance(value, str) else float(value)


def _write(value: Condition) -> str:
    return value if isinstance(value, str) else f"{value:.12g}"


def _read(text: str) -> Condition:
    try:
        return float(text)
    except ValueError:
        return text
