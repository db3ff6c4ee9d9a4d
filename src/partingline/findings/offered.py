"""Ports as the protocol and claims rules ask for them: what they offer, and what they are rated for."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from partingline.findings.claimed import said
from partingline.findings.judge import Judge
from partingline.model import Fact, Key, Offer, OfferList, Port, Route

STEP = 0.0101
"""A current is offered in steps of 10 mA, rounded either way."""

OWN = "its own offers"
"""Who tells the rating of a port where neither label nor listing does."""

PRECISION = 0.5
"""A power rating is held to half a watt."""


@dataclass(frozen=True, slots=True)
class Rating:
    """What a port is meant to give in W, and who says so."""

    power: float
    teller: str


def usb_c_ports(judge: Judge) -> Iterator[Port]:
    """The ports with a USB-C receptacle or plug."""
    return (port for port in judge.unit.ports if is_usb_c(port))


def is_usb_c(port: Port) -> bool:
    """Whether a connector is called USB-C in one of the ways in which people write it."""
    return re.sub(r"[^a-z]", "", port.connector.casefold()).endswith(("usbc", "typec"))


def offering_ports(judge: Judge) -> Iterator[tuple[Port, OfferList]]:
    """USB-C ports whose offers were seen, with the list to judge by."""
    for port in usb_c_ports(judge):
        seen = offer_list(port)
        if seen is not None:
            yield port, seen


def offer_list(port: Port) -> OfferList | None:
    """The list that `port.offers` comes from."""
    return next((one for one in port.offer_lists if one.offers and one.offers is port.offers), None)


def fixed(offers: tuple[Offer, ...]) -> dict[float, float]:
    """Amperes by volts of the fixed supplies; the larger current where a voltage is offered twice."""
    found: dict[float, float] = {}
    for offer in offers:
        if offer.kind == "fixed" and offer.current is not None:
            volts = round(offer.voltage, 3)
            found[volts] = max(offer.current, found.get(volts, 0.0))
    return found


def rating(judge: Judge, port: Port) -> Rating | None:
    """A port's rating: told by the label, else by the listing, else by what it offers itself."""
    subjects = [port.subject] + (["unit"] if len(judge.unit.ports) == 1 else [])
    for route in (Route.LABEL, Route.LISTING):
        for subject in subjects:
            told = said(judge.fact(subject, "output_power"), route)
            if told is not None:
                return Rating(told, f"the {route}")
    powers = [volts * amperes for volts, amperes in fixed(port.offers).items()]
    return Rating(max(powers), OWN) if powers else None


def offers_key(port: Port) -> Key:
    """The key that stands for 'what does this port offer'."""
    return Key.of(port.subject, "offer_count")


def written(voltage: float, current: float) -> str:
    """A supply as people write it: `15 V at 2.4 A`."""
    return f"{voltage:.4g}\u202fV at {current:.3g}\u202fA"


def revision(judge: Judge, port: Port) -> Fact | None:
    """The revision of the specification that a port told, itself or in the only capture of the unit."""
    own = judge.fact(port.subject, "pd_revision")
    if own is not None or len(judge.unit.ports) > 1:
        return own
    return next(iter(judge.book.find("pd_revision", "capture:")), None)
