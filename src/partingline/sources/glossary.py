"""The one glossary: every quantity and every role that the product knows, read from data."""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files


@dataclass(frozen=True, slots=True)
class Quantity:
    """A quantity: its SI unit, how it is shown, written and said, and what is plausible.

    `shown` is the unit that people read, `scale` the factor to it.
    `said` are further words by which people speak of it.
    `plausible` is an interval in SI units outside which a value is impossible for that quantity; None: no bound known.
    `unit` is empty for text.
    """

    id: str
    name: str
    unit: str
    shown: str
    scale: float
    symbol: str
    names: tuple[str, ...]
    plausible: tuple[float, float] | None
    said: tuple[str, ...] = ()

    @property
    def is_text(self) -> bool:
        """Whether the quantity is said in words."""
        return self.unit == "text"


@dataclass(frozen=True, slots=True)
class Role:
    """What a part does: its stage, the kinds of part that can fill it, and its names in the trade."""

    id: str
    name: str
    stage: str
    kinds: tuple[str, ...]
    names: tuple[str, ...]
    said: tuple[str, ...] = ()


def _load(name: str) -> dict[str, dict[str, object]]:
    text = (files("partingline.sources") / "data" / name).read_text(encoding="utf-8")
    return tomllib.loads(text)


@cache
def quantities() -> dict[str, Quantity]:
    """All quantities by id."""
    return {id_: _quantity(id_, fields) for id_, fields in _load("quantities.toml").items()}


def _quantity(id_: str, fields: dict[str, object]) -> Quantity:
    unit = str(fields["unit"])
    plausible = fields.get("plausible")
    return Quantity(
        id=id_,
        name=str(fields["name"]),
        unit=unit,
        shown=str(fields.get("shown", unit)),
        scale=float(fields.get("scale", 1.0)),  # type: ignore[arg-type]
        symbol=str(fields.get("symbol", "")),
        names=tuple(fields.get("names", ())),  # type: ignore[arg-type]
        plausible=(float(plausible[0]), float(plausible[1])) if isinstance(plausible, list) else None,
        said=tuple(fields.get("said", ())),  # type: ignore[arg-type]
    )


def quantity(id_: str) -> Quantity:
    """One quantity; KeyError for an unknown id."""
    return quantities()[id_]


@cache
def roles() -> dict[str, Role]:
    """All roles by id, in the order of the power flow."""
    return {
        id_: Role(
            id=id_,
            name=str(fields["name"]),
            stage=str(fields["stage"]),
            kinds=tuple(fields["kinds"]),  # type: ignore[arg-type]
            names=tuple(fields.get("names", ())),  # type: ignore[arg-type]
            said=tuple(fields.get("said", ())),  # type: ignore[arg-type]
        )
        for id_, fields in _load("roles.toml").items()
    }


def role(id_: str) -> Role:
    """One role; KeyError for an unknown id."""
    return roles()[id_]
