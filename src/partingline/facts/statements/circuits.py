"""Which circuit a stage is, from the kinds of its parts and what their notes say. Common practice, no source."""

from dataclasses import dataclass

from partingline.model import Part

_INSIDE = ("integrated", "inside", "internal", "with switch")
_HOSTS = {
    "primary_switch": "primary_controller",
    "clamp": "primary_switch",
    "pfc_controller": "primary_controller",
    "pfc_switch": "pfc_controller",
}
"""Which part can hold another inside."""
MODES = {
    "valley switching": ("valley", "quasi"),
    "fixed frequency": ("fixed frequency", "fixed-frequency", "continuous", "ccm"),
}
"""How a controller runs the switch, and the words that tell it."""


@dataclass(frozen=True, slots=True)
class Circuit:
    """A kind of circuit, what beside the parts themselves speaks for it, and whether its losses can be computed."""

    kind: str
    because: str = ""
    modelled: bool = True


def input_circuit(parts: tuple[Part, ...], *, boosted: bool) -> Circuit:
    """What stands between plug and bulk capacitor."""
    if boosted:
        return Circuit("bridge rectifier in front of a boost stage")
    roles = [part.role for part in parts]
    split = roles.count("bulk_capacitor") > 1 and "differential_choke" in roles
    return Circuit("capacitor-input rectifier" + (" with a choke between its capacitors" if split else ""))


def boost_circuit(parts: tuple[Part, ...]) -> Circuit:
    """A boost converter that shapes the mains current."""
    word = _told(parts, ("boundary", "critical", "transition", "crm"))
    if word:
        return Circuit("boundary-mode boost for the power factor", f"'{word}' in the note")
    if word := _told(parts, ("continuous", "ccm", "fixed frequency")):
        kind = "continuous-mode boost for the power factor, not modelled yet"
        return Circuit(kind, f"'{word}' in the note", modelled=False)
    return Circuit("boost for the power factor")


def converter_circuit(parts: tuple[Part, ...]) -> Circuit:
    """The isolated converter: a bridge of switches, or one switch and what bounds its drain."""
    switches = sum(part.count for part in parts if part.role == "primary_switch")
    clamps = [part for part in parts if part.role == "clamp"]
    resonant = [part.ref for part in parts if part.role == "resonant_capacitor"]
    word = _told(parts, ("llc", "resonant half", "series resonant"))
    if resonant or word or (switches >= 2 and not clamps):
        shape = "full bridge" if switches >= 4 else "half bridge"
        named = "resonant " if resonant or word else ""
        why = f"'{word}' in the note" if word else f"{switches} switches and no clamp" if not resonant else ""
        return Circuit(f"{named}{shape}, not modelled yet", why, modelled=False)
    active = [part.ref for part in clamps if part.kind == "transistor"]
    mode = mode_told(parts)
    running = {"valley switching": "quasi-resonant ", "fixed frequency": "fixed-frequency "}.get(mode[0], "")
    because = f"'{mode[1]}' in the note" if mode[0] else ""
    if active:
        return Circuit("active-clamp flyback", f"{', '.join(active)} is a transistor at the clamp")
    return Circuit(f"{running}flyback" if clamps or switches <= 1 else "isolated converter", because)


def output_circuit(parts: tuple[Part, ...]) -> Circuit:
    """What rectifies at the secondary."""
    rectifiers = [part for part in parts if part.role == "rectifier"]
    if any(part.kind == "transistor" for part in rectifiers):
        return Circuit("synchronous rectifier")
    return Circuit("diode rectifier" if rectifiers else "output filter")


def mode_told(parts: tuple[Part, ...]) -> tuple[str, str]:
    """How the controller's note says that it runs the switch, and the word; empty where it says nothing."""
    controllers = tuple(part for part in parts if part.role == "primary_controller")
    for mode, words in MODES.items():
        if word := _told(controllers, words):
            return mode, word
    return "", ""


def integrated(role: str, kind: str, parts: tuple[Part, ...]) -> bool:
    """Whether another part does it: a controller with its switch inside, a half bridge that needs no clamp."""
    if role == "clamp" and "bridge" in kind:
        return True
    hosts = tuple(part for part in parts if part.role == _HOSTS.get(role, ""))
    return bool(_told(hosts, _INSIDE))


def _told(parts: tuple[Part, ...], words: tuple[str, ...]) -> str:
    """The first of some words that a note holds."""
    notes = " ".join(part.note for part in parts).casefold()
    return next((word for word in words if word in notes), "")
