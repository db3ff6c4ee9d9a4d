"""Load and line sweeps, and no-load records: the electrical readings at each plateau."""

from collections.abc import Iterator

from partingline.facts.statements.log_source import LogSource
from partingline.model import Key, Statement
from partingline.readers.logs.no_load import steady_part
from partingline.readers.logs.plateaus import Plateau, find_plateaus, level

SHARES = (1.0, 0.75, 0.5, 0.25, 0.1)
"""The loads of the published methods: 10 CFR 430 Subpart B Appendix Z and EU 2019/1782."""
NEAR = 0.02
OFF = 0.5
AT_PORT = ("port_voltage", "output_current")
AT_INPUT = ("input_power", "input_voltage", "input_current", "power_factor")


def sweep(source: LogSource) -> Iterator[Statement]:
    """Readings of `port:P` at each plateau, with the conditions mains, offer, load (and with). A step at which the port
    was off gives nothing: no contract was kept there."""
    log, entry = source.log, source.log.entry
    if not entry.port:
        source.problem("no port is named", 'port = "C1"', "Add it; until then the sweep gives no facts.")
        return
    if entry.offer_v is None:
        source.problem("no offer is named", 'offer = "20 V"', "Add it; until then the sweep gives no facts.")
        return
    if log.values("output_current") is None:
        source.problem("no column of output current", "a column of output current", "Pin it in logs.toml.")
        return
    plateaus = [p for p in find_plateaus(log) if _is_on(source, p)]
    if not plateaus:
        source.problem(
            "no plateau of eight samples or more was found", "a few steady loads", "Stay longer at each load."
        )
        return
    for (mains, load), plateau in _by_load(source, plateaus).items():
        at: dict[str, float | str] = {"offer": entry.offer_v, "load": load, **source.company()}
        at |= {"mains": mains} if mains else {}
        _unsettled(source, plateau)
        for quantity in (*AT_INPUT, *AT_PORT):
            key = Key.of(f"port:{entry.ports[0]}", quantity, **at)
            if said := source.read(key, plateau.settled_first, plateau.last, quantity, note=plateau.why):
                yield said


def no_load(source: LogSource) -> Iterator[Statement]:
    """`unit/no_load_power` at a mains voltage, with the steadiness rule of IEC 62301 in the note."""
    yield from _idle(source, "unit", "no_load_power", {})


def standby(source: LogSource) -> Iterator[Statement]:
    """`port:P/standby_power` at mains and offer: what is drawn while a contract is kept and nothing is taken."""
    entry = source.log.entry
    if not entry.port or entry.offer_v is None:
        source.problem("no port or no offer is named", 'port = "C1", offer = "20 V"', "Add them.")
        return
    volts = level(source.log, "port_voltage", "", 0, len(source.log.time_s) - 1)
    if volts is not None and volts.value < OFF * entry.offer_v:
        found = f"the port stood at {volts.value:.3g} V: no contract was kept"
        source.problem(found, f"{entry.offer_v:g} V", "Keep the contract while recording.")
        return
    yield from _idle(source, f"port:{entry.ports[0]}", "standby_power", {"offer": entry.offer_v})


def _idle(source: LogSource, subject: str, quantity: str, at: dict[str, float]) -> Iterator[Statement]:
    found = steady_part(source.log)
    if found is None:
        source.problem("no column of input power", "a column of input power", "Pin it in logs.toml.")
        return
    mains = source.mains()
    if not mains:
        source.problem(
            "no mains voltage is told or recorded", 'mains = "230 V"', "Add it; until then the log gives no facts."
        )
        return
    if not found.steady:
        place = source.rows(found.first, found.last, source.log.column("input_power").name)
        source.problem(found.why, "a steady record", "Record for longer; the mean is used.", place, loses=False)
    key = Key.of(subject, quantity, **mains, **at)
    if said := source.read(key, found.first, found.last, "input_power", note=found.why):
        yield said
    for beside in ("input_voltage", "input_current", "power_factor"):
        key = Key.of(subject, beside, **mains, **at, load=0.0)
        if other := source.read(key, found.first, found.last, beside):
            yield other


def share_of(current: float, full: float) -> float:
    """Load as a share of the full current: the published load next to it, else rounded to 1 %."""
    share = current / full if full else 0.0
    nearest = min(SHARES, key=lambda nominal: abs(nominal - share))
    return nearest if abs(nearest - share) <= NEAR else max(0.0, round(share, 2))


def _by_load(source: LogSource, plateaus: list[Plateau]) -> dict[tuple[float, float], Plateau]:
    """One plateau for each mains voltage and load: a settled one before others, then the last."""
    currents = [level(source.log, "output_current", "", p.settled_first, p.last) for p in plateaus]
    known = [(p, c.value) for p, c in zip(plateaus, currents, strict=True) if c is not None]
    full = source.log.entry.full_load_a or max((current for _, current in known), default=0.0)
    measured = source.log.entry.kind == "line sweep"
    chosen: dict[tuple[float, float], Plateau] = {}
    for plateau, current in known:
        mains = source.mains(plateau, measured=measured).get("mains", 0.0)
        place = (mains, share_of(current, full))
        if place not in chosen or plateau.settled >= chosen[place].settled:
            chosen[place] = plateau
    return chosen


def _is_on(source: LogSource, plateau: Plateau) -> bool:
    volts = level(source.log, "port_voltage", "", plateau.settled_first, plateau.last)
    return volts is None or volts.value >= OFF * (source.log.entry.offer_v or 0.0)


def _unsettled(source: LogSource, plateau: Plateau) -> None:
    if not plateau.settled:
        place = source.rows(plateau.first, plateau.last)
        source.problem(
            plateau.why, "a settled plateau", "Stay longer at this load; the mean is used.", place, loses=False
        )
