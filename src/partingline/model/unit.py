"""What a unit is made of, apart from what is said of it: ports, parts, and who it is."""

from dataclasses import dataclass, field
from datetime import date

from partingline.model.evidence import Evidence, Region


@dataclass(frozen=True, slots=True)
class Part:
    """One row of the part list. `count` equal parts in parallel stand behind one ref.

    `role` is a glossary role or "" where none is told and none can be inferred.
    """

    ref: str
    kind: str
    role: str
    stage: str
    board: str
    side: str
    marking: str
    maker: str
    part_number: str
    package: str
    note: str
    count: int
    evidence: Evidence

    @property
    def subject(self) -> str:
        """`part:REF`."""
        return f"part:{self.ref}"


@dataclass(frozen=True, slots=True)
class Offer:
    """One supply that a port offers. `kind` is fixed, variable, battery, pps, spr_avs or epr_avs.

    Volts, amperes, watts. Fixed: `voltage` and `current`. Programmable: `low` to `voltage` and `current`. Adjustable:
    `low` to `voltage` and `power`, or `current` and `upper_current` for 9-15 V and 15-20 V. `position` is from 1.
    """

    kind: str
    position: int
    voltage: float
    current: float | None = None
    low: float | None = None
    power: float | None = None
    upper_current: float | None = None
    text: str = ""


@dataclass(frozen=True, slots=True)
class OfferList:
    """The supplies of one port as seen at one time: typed by a person or captured from the wire."""

    offers: tuple[Offer, ...]
    captured: bool
    cable_current: float | None
    evidence: Evidence


@dataclass(frozen=True, slots=True)
class Port:
    """A port of the unit, by the name on its case."""

    id: str
    connector: str
    offer_lists: tuple[OfferList, ...] = ()

    @property
    def subject(self) -> str:
        """`port:ID`."""
        return f"port:{self.id}"

    @property
    def offers(self) -> tuple[Offer, ...]:
        """The offers to judge by: captured ones before typed ones, the longest list first."""
        best = sorted(self.offer_lists, key=lambda seen: (not seen.captured, -len(seen.offers)))
        return best[0].offers if best else ()


@dataclass(frozen=True, slots=True)
class OpeningStep:
    """One step of taking a unit apart: what was done, with which tool, what came off, and the photo of it.

    `photo` is empty where there is none; `region` is the place on it that shows what came off.
    """

    does: str
    tool: str
    takes: str
    photo: str
    region: Region | None
    evidence: Evidence


_FED_LOW = ("dock", "power bank", "cable")
_MEETS_MAINS = ("bridge", "x_capacitor", "bulk_capacitor")


@dataclass(frozen=True, slots=True)
class Unit:
    """Who the unit is, and what it is made of."""

    folder: str
    maker: str
    model: str
    title: str
    kind: str
    invented: bool
    examined: date | None
    notes: str
    ports: tuple[Port, ...] = ()
    parts: tuple[Part, ...] = ()
    instruments: dict[str, str] = field(default_factory=dict)
    opening: tuple[OpeningStep, ...] = ()

    @property
    def name(self) -> str:
        """Maker and model as a reader would say them, or the folder's name."""
        return " ".join(filter(None, (self.maker, self.model))) or self.folder

    @property
    def fed_by_mains(self) -> bool:
        """Whether mains come into the unit: always into a charger; into a dock, a power bank or a cable only where the
        part list shows what meets them."""
        return self.kind.casefold() not in _FED_LOW or any(self.having(role) for role in _MEETS_MAINS)

    def having(self, role: str) -> tuple[Part, ...]:
        """All parts that fill a role."""
        return tuple(part for part in self.parts if part.role == role)
