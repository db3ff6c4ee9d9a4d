"""Several ports in use at once: what each delivers, and all together."""

from collections.abc import Iterator

from partingline.facts.statements.log_source import LogSource, product, total
from partingline.model import Evidence, Key, Number, Route, Sense, Statement
from partingline.readers.logs.plateaus import Plateau, find_plateaus, level


def sharing(source: LogSource) -> Iterator[Statement]:
    """At the plateau of the highest power: voltage, current and power of each port `with` the others, and their sum on
    `ports:A1+C1`."""
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
    plateau = _strongest(source, tuple(channels.values()))
    if plateau is None:
        source.problem("no plateau of eight samples or more was found", "a steady load on all ports", "Stay longer.")
        return
    yield from _statements(source, plateau, channels)


def _strongest(source: LogSource, channels: tuple[str, ...]) -> Plateau | None:
    def power(plateau: Plateau) -> float:
        watts = 0.0
        for channel in channels:
            volts = level(source.log, "port_voltage", channel, plateau.settled_first, plateau.last)
            amps = level(source.log, "output_current", channel, plateau.settled_first, plateau.last)
            watts += volts.value * amps.value if volts and amps else 0.0
        return watts

    return max(find_plateaus(source.log), key=lambda p: (p.settled, power(p)), default=None)


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
