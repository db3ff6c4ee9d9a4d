"""Offers of a port, typed or captured, as offer lists and as statements."""

from collections.abc import Iterable, Iterator
from typing import Any

from partingline.model import Evidence, Key, Number, Offer, OfferList, Port, Route, Sense, Statement
from partingline.readers.cc.objects import parse_offer
from partingline.readers.folder import Folder
from partingline.readers.quantities import QuantityError, parse_quantity
from partingline.readers.unitfile import PortTable, ReadUnit

_CABLES = {"captive": 5.0, "5 a": 5.0, "5a": 5.0, "5 a e-marked": 5.0, "3 a": 3.0, "3a": 3.0}


def typed_ports(read: ReadUnit, folder: Folder) -> tuple[Port, ...]:
    """The ports of `unit.toml` with the offers that can be read."""
    first: dict[str, int] = {}
    for index, table in enumerate(read.data.port):
        if first.setdefault(table.id, index) != index:
            evidence = read.at("port", index, "id")
            found, step = f"port '{table.id}' is told twice", "Join the tables, or rename one; the first is used."
            folder.report(evidence.path, found, "one [[port]] table a port", step, evidence.place)
    return tuple(_port(read, folder, index, read.data.port[index]) for index in first.values())


def rated_statements(read: ReadUnit, folder: Folder, printed: Iterable[Statement]) -> Iterator[Statement]:
    """The power that a port is rated for, where `unit.toml` tells it and the label's text does not say the same."""
    said = {(s.key, s.value.value) for s in printed if isinstance(s.value, Number)}
    for index, table in enumerate(read.data.port):
        if not table.rated_power:
            continue
        key, evidence = Key.of(f"port:{table.id}", "output_power"), read.at("port", index, "rated_power")
        try:
            value = parse_quantity(table.rated_power, unit="W").value
        except QuantityError as error:
            folder.report(evidence.path, str(error), "a power such as '65 W'", "Correct it.", evidence.place)
            continue
        if (key, value) not in said:
            yield Statement(key, Number(value), Route.LABEL, Sense.AT_LEAST, (evidence,), table.rated_power)


def offer_from_object(position: int, pdo: Any) -> Offer:
    """A decoded power data object as an offer."""
    low = None if pdo.min_v == pdo.max_v else pdo.min_v
    if pdo.kind == "spr_avs":
        return Offer(
            pdo.kind,
            position,
            pdo.max_v,
            current=pdo.current_15v_a,
            upper_current=pdo.current_20v_a,
            low=low,
            text=pdo.text,
        )
    power = pdo.max_w if pdo.kind in ("battery", "epr_avs") else None
    return Offer(
        pdo.kind,
        position,
        pdo.max_v,
        current=None if power else pdo.max_a,
        low=low,
        power=power,
        text=pdo.text,
    )


def offer_statements(port: str, seen: OfferList, note: str = "") -> Iterator[Statement]:
    """What a port promises on the wire: how many supplies, current by voltage, programmable ranges, highest power."""
    subject, evidence = f"port:{port}", (seen.evidence,)

    def said(quantity: str, value: float, told: Offer, **at: float) -> Statement:
        key = Key.of(subject, quantity, **at)
        text = told.text
        return Statement(key, Number(value), Route.CAPTURED, Sense.AT_LEAST, evidence, text, note)

    count = Number(float(len(seen.offers)))
    yield Statement(Key.of(subject, "offer_count"), count, Route.CAPTURED, evidence=evidence, note=note)
    for offer in seen.offers:
        if offer.kind == "fixed" and offer.current:
            yield said("available_current", offer.current, offer, offer=offer.voltage)
        elif offer.kind == "pps" and offer.current and offer.low:
            yield said("pps_current", offer.current, offer, offer=offer.voltage)
            yield Statement(
                Key.of(subject, "pps_min_voltage", offer=offer.voltage),
                Number(offer.low),
                Route.CAPTURED,
                evidence=evidence,
            )
        elif offer.power:
            yield said("avs_power", offer.power, offer, offer=offer.voltage)
    powers = [
        (offer.voltage * offer.current, offer) for offer in seen.offers if offer.kind == "fixed" and offer.current
    ]
    if powers:
        power, offer = max(powers, key=lambda pair: pair[0])
        yield said("output_power", power, offer)


def _port(read: ReadUnit, folder: Folder, index: int, table: PortTable) -> Port:
    evidence = read.at("port", index, "offers")
    cable = _cable(read, folder, index, table.cable)
    lists = [_list(folder, evidence, table.offers, cable)] if table.offers else []
    return Port(table.id, table.connector, tuple(lists))


def shared_offers(read: ReadUnit, folder: Folder) -> Iterator[Statement]:
    """Offers seen while other ports were in use: the port's power in company."""
    for index, table in enumerate(read.data.port):
        for others, texts in table.offers_with.items():
            seen = _list(folder, read.at("port", index, "offers_with"), texts, None)
            power = max((o.voltage * o.current for o in seen.offers if o.current and o.kind == "fixed"), default=0.0)
            if power:
                key = Key.of(f"port:{table.id}", "output_power", **{"with": others})
                yield Statement(key, Number(power), Route.CAPTURED, Sense.AT_LEAST, (seen.evidence,), ", ".join(texts))


def _cable(read: ReadUnit, folder: Folder, index: int, text: str) -> float | None:
    if not text:
        return None
    if text.casefold() not in _CABLES:
        place = read.at("port", index, "cable").place
        folder.report("unit.toml", f"cable '{text}'", "'3 A', '5 A' or 'captive'", "Correct it.", place)
    return _CABLES.get(text.casefold())


def _list(folder: Folder, evidence: Evidence, texts: Iterable[str], cable: float | None) -> OfferList:
    offers: list[Offer] = []
    for position, text in enumerate(texts, 1):
        try:
            offers.append(offer_from_object(position, parse_offer(text)))
        except ValueError as error:
            folder.report(evidence.path, str(error), "an offer", "Correct it; the others are used.", evidence.place)
    return OfferList(tuple(offers), False, cable, evidence)
