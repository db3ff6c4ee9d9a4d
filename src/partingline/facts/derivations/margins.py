"""How much of each rating a part uses in its computed or measured conditions.

A new stress is one row of `STRESSES`: role, what is stressed, the quantities that may rate it, and how the stress is
found for a part.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from partingline.calc.ratings import rating_share
from partingline.facts.derivation import Derivation
from partingline.facts.derivations.converter import PRIMARY, SECONDARY
from partingline.facts.derivations.layout import INPUT, Layout
from partingline.facts.derivations.stage_buck import buck_offer
from partingline.facts.derivations.stage_pfc import PFC
from partingline.facts.draws import Array
from partingline.facts.statements.topology import unit_topology
from partingline.model import Key, Part
from partingline.sources import cite

Applied = Callable[[Layout, Part], Key | float | None]
ROOM = cite("algebra", "rated less read", "C")


@dataclass(frozen=True, slots=True)
class Stress:
    """What stresses the parts of a role (`voltage`, `current`), the quantity that rates it, and where it comes from."""

    role: str
    of: str
    rating: str
    applied: Applied


def _input(quantity: str) -> Applied:
    return lambda layout, part: Key.of(INPUT, quantity, mains=layout.lowest_mains)


def _crest(layout: Layout, part: Part) -> Key:
    return Key.of(INPUT, "peak_bulk_voltage", mains=layout.highest_mains)


def _mains(layout: Layout, part: Part) -> Key:
    return Key.of(INPUT, "highest_mains")


def _peak_at(quantity: str, stage: str) -> Applied:
    """A peak that was read of the part at the highest mains, else that of its stage."""

    def applied(layout: Layout, part: Part) -> Key | None:
        read = [key for key in layout.with_quantity(quantity, part.subject) if key.subject == part.subject]
        if read:
            return max(read, key=lambda key: float(key.condition("mains") or 0.0))
        offer = layout.strongest_offer
        return Key.of(stage, quantity, mains=layout.highest_mains, offer=offer[1]) if offer else None

    return applied


def _peak_current(layout: Layout, part: Part) -> Key | None:
    offer = layout.strongest_offer
    return Key.of(PRIMARY, "peak_current", mains=layout.lowest_mains, offer=offer[1]) if offer else None


def _output_voltage(layout: Layout, part: Part) -> float | None:
    return max((offer[1] for offer in layout.offers), default=None)


def _port_current(layout: Layout, part: Part) -> float | None:
    """The highest current of the port that the part's marking or note names, or of any."""
    words = {*part.marking.split(), *part.note.replace(",", " ").replace(";", " ").split()}
    named = [port for port in layout.unit.ports if port.id in words]
    subjects = {port.subject for port in named or layout.unit.ports}
    return max((amps for subject, _, amps in layout.offers if subject in subjects), default=None)


def _boost_peak(layout: Layout, part: Part) -> Key:
    return Key.of(PFC, "inductor_peak_current", mains=layout.lowest_mains)


def _buck_peak(layout: Layout, part: Part) -> Key | None:
    """The peak current of the stage that the part belongs to, at the offer that the stage is computed for."""
    for stage in unit_topology(layout.unit).stages:
        if part in stage.parts:
            port = f"port:{stage.subject.removeprefix('stage:buck-')}"
            volts = buck_offer(layout, port)
            return Key.of(stage.subject, "inductor_peak_current", offer=volts[0]) if volts else None
    return None


def _rail(layout: Layout, part: Part) -> float | None:
    return layout.strongest_offer[1] if layout.strongest_offer else None


STRESSES = (
    Stress("fuse", "current", "rated_current", _input("line_current")),
    Stress("inrush_limiter", "current", "rated_current", _input("line_current")),
    Stress("x_capacitor", "voltage", "rated_ac_voltage", _mains),
    Stress("y_capacitor", "voltage", "rated_ac_voltage", _mains),
    Stress("common_mode_choke", "current", "rated_current", _input("line_current")),
    Stress("differential_choke", "current", "rated_current", _input("line_current")),
    Stress("bridge", "voltage", "rated_voltage", _crest),
    Stress("bridge", "current", "rated_current", _input("bridge_current")),
    Stress("bulk_capacitor", "voltage", "rated_voltage", _crest),
    Stress("primary_switch", "voltage", "rated_voltage", _peak_at("switch_voltage", PRIMARY)),
    Stress("primary_switch", "current", "rated_current", _peak_current),
    Stress("rectifier", "voltage", "rated_voltage", _peak_at("rectifier_voltage", SECONDARY)),
    Stress("output_capacitor", "voltage", "rated_voltage", _output_voltage),
    Stress("output_switch", "voltage", "rated_voltage", _output_voltage),
    Stress("output_switch", "current", "rated_current", _port_current),
    Stress("port", "current", "rated_current", _port_current),
    Stress("pfc_switch", "voltage", "rated_voltage", _crest),
    Stress("pfc_rectifier", "voltage", "rated_voltage", _crest),
    Stress("pfc_switch", "current", "rated_current", _boost_peak),
    Stress("pfc_inductor", "current", "rated_current", _boost_peak),
    Stress("buck_switch", "voltage", "rated_voltage", _rail),
    Stress("buck_switch", "current", "rated_current", _buck_peak),
    Stress("buck_inductor", "current", "rated_current", _buck_peak),
)  # fmt: skip
RATED_TEMPERATURES = ("rated_temperature", "max_junction_temperature")


def derive(layout: Layout) -> Iterator[Derivation]:
    """The share of each rating that is used, and the room below each rated temperature."""
    for stress in STRESSES:
        for part in layout.parts(stress.role):
            rating = Key.of(part.subject, stress.rating)
            applied = stress.applied(layout, part)
            if rating not in layout.keys or applied is None:
                continue
            said = {"applied": applied} if isinstance(applied, Key) else {}
            fixed = {} if isinstance(applied, Key) else {"applied": applied}
            gives = Key.of(part.subject, "rating_used", state=stress.of)
            yield Derivation(gives, {**said, "rated": rating}, rating_share, rating_share.source, fixed)
    for key in layout.with_quantity("part_temperature", "part:"):
        for name in RATED_TEMPERATURES:
            rated = Key.of(key.subject, name)
            if rated in layout.keys:
                gives = Key.of(key.subject, "temperature_room", **dict(key.at))
                yield Derivation(gives, {"rated": rated, "read": key}, rated_less_read, ROOM)


def rated_less_read(*, rated: Array, read: Array) -> Array:
    """K."""
    return rated - read
