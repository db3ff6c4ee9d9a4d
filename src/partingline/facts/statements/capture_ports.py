"""What a port says of itself on the wire: its revision, and the power that it is made for."""

from collections.abc import Iterator

from partingline.facts.statements.captured import Witness
from partingline.model import Key, Number, Route, Sense, Statement, Text

STATES_POWER = "stated_power"


def port_statements(witness: Witness, port: str) -> Iterator[Statement]:
    """Revision, and the power rating of Source_Capabilities_Extended and Source_Info, also as a port's output power."""
    talk = witness.capture.conversation
    subject = f"port:{port}"
    for revision in [said for said in talk.revisions if said.sender == "source"][-1:]:
        where = witness.between(revision.time_s, revision.time_s + 1e-3)
        key = Key.of(subject, "pd_revision")
        text, note = Text(revision.value.revision), revision.value.text
        yield Statement(key, text, Route.CAPTURED, evidence=(where,), said=note)
    for told in [said for said in talk.source_extended if said.sender == "source"][-1:]:
        power = told.value.epr_pdp_w or told.value.spr_pdp_w
        yield from _power(witness, subject, told.time_s, power, "Source_Capabilities_Extended", told.value.text)
    for info in [said for said in talk.source_infos if said.sender == "source"][-1:]:
        yield from _power(witness, subject, info.time_s, info.value.maximum_w, "Source_Info", info.value.text)


def _power(witness: Witness, subject: str, time_s: float, power: float, message: str, text: str) -> Iterator[Statement]:
    if not power:
        return
    where = (witness.between(time_s, time_s + 1e-3),)
    for key in (Key.of(subject, STATES_POWER, message=message), Key.of(subject, "output_power")):
        yield Statement(key, Number(power), Route.CAPTURED, Sense.AT_LEAST, where, text, f"told in {message}")
