"""The form of `unit.toml`: every key that may stand in it."""

from datetime import date
from typing import Any, Literal, get_args, get_origin

from pydantic import BaseModel, ConfigDict, Field


class Strict(BaseModel):
    """A table in which an unknown key is a fault."""

    model_config = ConfigDict(extra="forbid", frozen=True, coerce_numbers_to_str=True)


class UnitTable(Strict):
    """`[unit]`: who it is."""

    maker: str = ""
    model: str = ""
    title: str = ""
    kind: Literal["wall charger", "dock", "power bank", "cable", "desktop charger"] = "wall charger"
    invented: bool = False
    examined: date | None = None
    specimen: str = ""
    notes: str = ""


class LabelTable(Strict):
    """`[label]`: the rating label as printed."""

    text: str = ""
    photo: str = ""


class BodyTable(Strict):
    """`[body]`: outer dimensions and mass, as written."""

    length: str = ""
    width: str = ""
    height: str = ""
    mass: str = ""
    material: str = ""
    pins: str = ""
    instrument: str = ""


class PortTable(Strict):
    """`[[port]]`: a port and what it offers, as typed or as raw words."""

    id: str = Field(pattern="^[^/@,=:+]+$")
    connector: str = ""
    cable: str = ""
    offers: list[str] = Field(default_factory=list)
    offers_with: dict[str, list[str]] = Field(default_factory=dict)
    rated_power: str = ""
    note: str = ""


class ReadingTable(Strict):
    """`[[reading]]`: one thing read or measured, on any subject."""

    subject: str
    quantity: str
    value: str
    at: dict[str, str] = Field(default_factory=dict)
    instrument: str = ""
    route: Literal["measured", "captured", "photographed", "marking", "datasheet", "computed", "assumed"] = "measured"
    sense: Literal["equals", "nominal", "at least", "at most", "within"] | None = None
    photo: str = ""
    note: str = ""


class OpeningTable(Strict):
    """`[[opening]]`: a step of taking it apart, in the order in which it was done.

    `photo` may name a place: photos/a.jpg#xywh=pixel:10,20,300,200.
    """

    does: str
    tool: str = ""
    takes: str = ""
    photo: str = ""


class AssumeTable(Strict):
    """A value put in place of a built-in assumption."""

    value: str
    reason: str


class PreferTable(Strict):
    """Another route than the usual one for one fact."""

    route: Literal[
        "measured",
        "captured",
        "photographed",
        "marking",
        "datasheet",
        "label",
        "listing",
        "computed",
        "assumed",
    ]
    reason: str


class UnitFile(Strict):
    """The whole of `unit.toml`. `instrument` holds a name and accuracy statements by quantity."""

    unit: UnitTable = UnitTable()
    label: LabelTable = LabelTable()
    body: BodyTable = BodyTable()
    port: list[PortTable] = Field(default_factory=list)
    reading: list[ReadingTable] = Field(default_factory=list)
    opening: list[OpeningTable] = Field(default_factory=list)
    instrument: dict[str, dict[str, str]] = Field(default_factory=dict)
    assume: dict[str, AssumeTable] = Field(default_factory=dict)
    prefer: dict[str, PreferTable] = Field(default_factory=dict)


def known_keys(path: tuple[Any, ...]) -> tuple[str, ...]:
    """The keys that may stand in the table at a path, for 'did you mean'."""
    model: Any = UnitFile
    pieces = iter(piece for piece in path if not isinstance(piece, int))
    for piece in pieces:
        field = getattr(model, "model_fields", {}).get(piece)
        if field is None:
            return ()
        if get_origin(field.annotation) is dict:
            next(pieces, None)
        inner = (a for a in get_args(field.annotation) if hasattr(a, "model_fields"))
        model = next(inner, field.annotation)
    return tuple(getattr(model, "model_fields", {}))
