"""Buck stages of further ports behind the rectifier: currents, ripple and losses at each port's strongest offer."""

from collections.abc import Iterator

import numpy as np

from partingline.calc.powerstage.buck import buck_cycle
from partingline.facts.derivation import Derivation, Need
from partingline.facts.derivations.layout import Layout, part_keys
from partingline.facts.draws import Array
from partingline.facts.statements.topology import Stage, unit_topology
from partingline.model import Key, Port
from partingline.sources import cite

FREQUENCY, RESISTANCE, WINDING = (300e3, 1.6), (20e-3, 1.5), (20e-3, 1.5)
EDGE, DEAD = 8e-9, 20e-9
"""Where nothing tells: medians of the trade with the factor that holds 68 % each side; edges and dead time in s."""
FIELDS = {
    "duty": "duty", "inductor_peak_current": "peak_current", "ripple_current": "ripple",
    "inductor_current": "inductor_current",
    "switch_current": "high_side_current", "input_ripple_current": "input_capacitor_current",
    "output_ripple_current": "output_capacitor_current", "conduction_loss": "conduction_loss",
    "switching_loss": "switching_loss", "copper_loss": "winding_loss",
}  # fmt: skip
UNMOVED = {"duty": ("frequency", "inductance"), "switching_loss": ("inductance", "switches", "winding")}
"""What a result does not hang on."""
SOURCE = cite("erickson-3e", "sections 2.2 and 2.3, and ranges of the trade where no part tells", "S")


def derive(layout: Layout) -> Iterator[Derivation]:
    """One cycle a stage whose port and inductor are known."""
    if layout.strongest_offer is None:
        return
    for stage in unit_topology(layout.unit).stages:
        port = next((one for one in layout.unit.ports if stage.subject == f"stage:buck-{one.id}"), None)
        inductor = next((part for part in stage.parts if part.role == "buck_inductor"), None)
        if port is not None and inductor is not None:
            yield from _stage(layout, stage, port, inductor.subject)


def _stage(layout: Layout, stage: Stage, port: Port, inductor: str) -> Iterator[Derivation]:
    offer = buck_offer(layout, port.subject)
    if offer is None or layout.strongest_offer is None:
        return
    (volts, amps), rail = offer, layout.strongest_offer[1]
    switches = tuple(part for part in stage.parts if part.role == "buck_switch" and part.kind == "transistor")
    needs: dict[str, Need] = {"inductance": Key.of(inductor, "inductance"), "winding": Key.of(inductor, "resistance")}
    needs["frequency"] = Key.of(stage.subject, "switching_frequency")
    if switches:
        needs["switches"] = part_keys(switches, "on_resistance")
    told = {name for name, key in needs.items() if name != "inductance" and _known(layout, key)}
    own = [name for name in ("frequency", "switches", "winding") if name not in told]
    for quantity, field in FIELDS.items():
        unmoved = UNMOVED.get(quantity, ())
        free = tuple(name for name in own if name not in unmoved)
        kept = {n: key for n, key in needs.items() if (n == "inductance" or n in told) and n not in unmoved}
        yield Derivation(
            Key.of(stage.subject, quantity, offer=volts), kept, buck_of_port, SOURCE,
            {"rail": rail, "volts": volts, "amps": amps, "ranges": free}, pick=field,
            own=tuple(f"{stage.subject}/{name}/usual range" for name in free),
            note=f"{port.id} at {volts:g} V and {amps:g} A from {rail:g} V",
        )  # fmt: skip


def buck_offer(layout: Layout, port: str) -> tuple[float, float] | None:
    """Voltage and current of a port's strongest offer below the rail, which is that of the unit's strongest offer."""
    rail = layout.strongest_offer[1] if layout.strongest_offer else 0.0
    below = [(volts, amps) for subject, volts, amps in layout.offers if subject == port and volts < rail]
    return max(below, key=lambda offer: (offer[0] * offer[1], offer[1]), default=None)


def _known(layout: Layout, need: Need) -> bool:
    keys = (need,) if isinstance(need, Key) else need
    return all(key in layout.keys for key in keys)


def buck_of_port(
    *, rail: float, volts: float, amps: float, ranges: tuple[str, ...], own: Array | None = None,
    inductance: Array | float = 10e-6, frequency: Array | None = None, switches: Array | None = None,
    winding: Array | None = None,
) -> object:  # fmt: skip
    """The cycle; what is named in `ranges` is drawn from the trade's. Two switches: the first is the high side.

    Where the result does not hang on a value, it may be left out.
    """
    drawn = dict(zip(ranges, own if own is not None else (), strict=True))

    def usual(name: str, median: float, factor: float) -> Array:
        return np.atleast_1d(np.asarray(median * factor ** drawn.get(name, 0.0)))

    resistances = usual("switches", *RESISTANCE)[np.newaxis] if switches is None else switches
    return buck_cycle(
        input_voltage=rail, output_voltage=volts, output_current=amps, inductance=inductance,
        frequency=usual("frequency", *FREQUENCY) if frequency is None else frequency,
        high_side_resistance=resistances[0], low_side_resistance=resistances[-1],
        winding_resistance=usual("winding", *WINDING) if winding is None else winding, edge_time=EDGE, dead_time=DEAD,
    )  # fmt: skip
