"""The parts of the label grammar, in the order in which they are tried at each word."""

from partingline.readers.label.recognisers.electrical import current, frequency, power, voltage
from partingline.readers.label.recognisers.headings import connector, heading, kind_word, ports, total
from partingline.readers.label.recognisers.identity import keyed, named
from partingline.readers.label.recognisers.marks import (
    certification,
    efficiency_mark,
    ingress,
    insulation,
    protocol,
    technology,
    unit_kind,
    use,
)
from partingline.readers.label.recognisers.sharing import each_with_power, powers
from partingline.readers.label.recognisers.storage import capacity, data_rate, energy
from partingline.readers.label.state import Recogniser

RECOGNISERS: tuple[Recogniser, ...] = (
    keyed,
    named,
    efficiency_mark,
    insulation,
    unit_kind,
    each_with_power,
    heading,
    total,
    kind_word,
    ports,
    frequency,
    powers,
    capacity,
    energy,
    data_rate,
    voltage,
    current,
    power,
    ingress,
    protocol,
    technology,
    use,
    certification,
    connector,
)

__all__ = ["RECOGNISERS"]
