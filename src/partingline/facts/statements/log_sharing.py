"""Several ports in use at once: what each delivers, and all together."""

from collections.abc import Iterator

from partingline.facts.statements.log_source import LogSource, product, total
from partingline.facts.statements.log_sweep import share_of
from partingline.model import Evidence, Key, Number, Route, Sense, Statement
from partingline.readers.logs.plateaus import Plateau, find_plateaus, level

DRIFT_LIMIT = 0.01
"""Input power may fall by this share in 5 min while several voltages are in use: 10 CFR 430 Subpart B Appendix Z."""


def sharing(source: LogSource) -> Iterator[Statement]:
    """At the plateau of the highest power: voltage, current and power of each port `with` the others, and their sum on
    `ports:A1+C1`; at every plateau input and output power of all ports, by their share of that power (10 CFR 430
    Subpart B Appendix Z: all ports at 100, 75, 50 and 25 % of their derated currents)."""
    log = source.log
    ports = log.entry.ports
    if len(ports) < 2:
        source.problem(
            "fewer than two ports are named", 'ports = "C1+A1"', "Add them; until then the log gives no facts."
        )
        return
    channels = {port: "" if port == ports[0] else port for port in ports}
    missing = [
        f"{quantity} of {port}"
        for port, channel in channels.items()
        for quantity in ("port_voltage", "output_current")
        if log.values(quantity, channel) is None
    ]
    if missing:
        step = 'Pin them: columns = { "C1/port_voltage" = "..." }.'
        source.problem(f"no column of {', '.join(missing)}", "voltage and current of each port", step)
        return
    plateaus = find_plateaus(log, drift_limit=DRIFT_LIMIT)
    powers = [_power(source, plateau, tuple(channels.values())) for plateau in plateaus]
    if not plateaus:
        source.problem("no plateau of eight samples or more was found", "a steady load on all ports", "Stay longer.")
        return
    strongest = max(range(len(plateaus)), key=lambda n: (plateaus[n].settled, powers[n]))
    yield from _statements(source, plateaus[strongest], channels)
    for load, plateau in _by_load(plateaus, powers, powers[strongest]).items():
        yield from _point(source, plateau, channels, load)


def _power(source: LogSource, plateau: Plateau, channels: tuple[str, ...]) -> float:
    watts = 0.0
    for channel in channels:
        volts = level(source.log, "port_voltage", channel, plateau.settled_first, plateau.last)
        amps = level(source.log, "output_current", channel, plateau.settled_first, plateau.last)
        watts += volts.value * amps.value if volts and amps else 0.0
    return watts


def _by_load(plateaus: tuple[Plateau, ...], powers: list[float], full: float) -> dict[float, Plateau]:
    """One plateau for each share of the strongest, a settled one before others, then the last."""
    chosen: dict[float, Plateau] = {}
    for plateau, power in zip(plateaus, powers, strict=True):
        load = share_of(power, full)
        if load > 0 and (load not in chosen or plateau.settled >= chosen[load].settled):
            chosen[load] = plateau
    return chosen


def _point(source: LogSource, plateau: Plateau, channels: dict[str, str], load: float) -> Iterator[Statement]:
    """Input and output power of all ports together at one share of their full load, what efficiency rests on; voltage
    and current of each: whether it was loaded by the method."""
    first, last, mains = plateau.settled_first, plateau.last, source.mains(plateau)
    if not mains or source.log.values("input_power") is None:
        return
    together, powers, seen = f"ports:{'+'.join(sorted(channels))}", [], list[Evidence]()
    ports: list[Statement] = []
    for port, channel in channels.items():
        at: dict[str, float | str] = {**mains, "load": load, "with": "+".join(sorted(set(channels) - {port}))}
        pair = [
            source.read(Key.of(f"port:{port}", quantity, **at), first, last, quantity, channel, note=plateau.why)
            for quantity in ("port_voltage", "output_current")
        ]
        numbers = [said.value for said in pair if said is not None and isinstance(said.value, Number)]
        if len(numbers) < 2:
            return
        powers.append(product(numbers[0], numbers[1]))
        seen += [place for said in pair if said for place in said.evidence]
        ports += [said for said in pair if said]
    yield from ports
    key = Key.of(together, "output_power", **mains, load=load)
    yield Statement(
        key, total(tuple(powers)), Route.MEASURED, Sense.EQUALS, tuple(seen), note=f"sum of V × I; {plateau.why}"
    )
    key = Key.of(together, "input_power", **mains, load=load)
    if said := source.read(key, first, last, "input_power", note=plateau.why):
        yield said


def _statements(source: LogSource, plateau: Plateau, channels: dict[str, str]) -> Iterator[Statement]:
    first, last, mains = plateau.settled_first, plateau.last, source.mains(plateau)
    powers: list[Number] = []
    seen: list[Evidence] = []
    for port, channel in channels.items():
        company = {"with": "+".join(sorted(other for other in channels if other != port))}
        pair = []
        for quantity in ("port_voltage", "output_current"):
            key = Key.of(f"port:{port}", quantity, **mains, **company)
            said = source.read(key, first, last, quantity, channel, note=plateau.why)
            if said is None:
                return
            pair.append(said)
            yield said
        volts, amps = (said.value for said in pair)
        assert isinstance(volts, Number)
        assert isinstance(amps, Number)
        powers.append(product(volts, amps))
        evidence = (*pair[0].evidence, *pair[1].evidence)
        seen += evidence
        key = Key.of(f"port:{port}", "output_power", **company)
        yield Statement(key, powers[-1], Route.MEASURED, Sense.EQUALS, evidence, note="V × I")
    together = f"ports:{'+'.join(sorted(channels))}"
    note = f"sum of V × I; {plateau.why}"
    yield Statement(
        Key.of(together, "output_power"), total(tuple(powers)), Route.MEASURED, Sense.EQUALS, tuple(seen), note=note
    )
    if said := source.read(Key.of(together, "input_power", **mains), first, last, "input_power", note=plateau.why):
        yield said
