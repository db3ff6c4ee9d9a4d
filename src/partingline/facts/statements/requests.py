"""What is wrong with a request, beside the offers it was made on."""

from collections.abc import Sequence

from partingline.readers.cc.conversation.contracts import Contract, Offer
from partingline.readers.cc.objects import AvsRdo, BatteryRdo, FixedRdo, Pdo, PpsRdo

_DUST = 1e-6
_MOST_STANDARD = 7
_AVS_LOW, _AVS_MIDDLE, _AVS_HIGH = 9.0, 15.0, 20.0


def request_fault(contract: Contract, offers: Sequence[Offer]) -> str | None:
    """Why a request asks for something that was not offered; "" where it is right, None where no offer was seen.

    Position, currents within the object unless the device tells a mismatch (as the Fuchsia headers quote R3.1
    6.4.2), programmable range, 100 mV steps and power of an adjustable supply (Linux, quoting R3.2).
    """
    if contract.offer is None:
        return None
    pdos, rdo = offers[contract.offer].pdos, contract.rdo
    if not 0 < rdo.position <= len(pdos) or contract.pdo is None or contract.kind in ("empty", "reserved"):
        return f"object {rdo.position} of {len(pdos)} offered"
    if rdo.position > _MOST_STANDARD and not contract.epr:
        return f"object {rdo.position} outside the extended range"
    match rdo:
        case FixedRdo():
            return _fixed(rdo, contract.pdo)
        case BatteryRdo():
            most = contract.pdo.max_w or 0.0
            asked = rdo.power_w if rdo.give_back or rdo.mismatch else max(rdo.power_w, rdo.limit_w)
            return f"{asked:g} W of {most:g} W" if asked > most + _DUST else ""
        case PpsRdo():
            return _within(rdo.voltage_v, contract.pdo) or _over(rdo.current_a, contract.pdo.max_a)
        case AvsRdo():
            return _adjustable(rdo, contract.pdo)
    return ""


def copy_fault(contract: Contract, offers: Sequence[Offer]) -> str:
    """What is wrong with the object that an EPR_Request carries: it is the offered one, bit by bit (the ChromiumOS EC
    and ST headers); "" where it is."""
    position = contract.rdo.position
    pdos = offers[contract.offer].pdos if contract.offer is not None else ()
    if contract.copied is None:
        return f"no copy of object {position}"
    if 0 < position <= len(pdos) and pdos[position - 1] != contract.copied:
        return f"{contract.copied.text} beside the {pdos[position - 1].text} of object {position}"
    return ""


def _fixed(rdo: FixedRdo, pdo: Pdo) -> str:
    asked = rdo.current_a if rdo.give_back or rdo.mismatch else max(rdo.current_a, rdo.limit_a)
    return _over(asked, pdo.max_a)


def _over(current: float, most: float | None) -> str:
    return f"{current:g} A of {most or 0.0:g} A" if current > (most or 0.0) + _DUST else ""


def _within(voltage: float, pdo: Pdo) -> str:
    low, high = pdo.min_v or 0.0, pdo.max_v or 0.0
    inside = low - _DUST <= voltage <= high + _DUST
    return "" if inside else f"{voltage:g} V outside {low:g} to {high:g} V"


def _adjustable(rdo: AvsRdo, pdo: Pdo) -> str:
    volts, amperes = rdo.voltage_v, rdo.current_a
    if abs(volts * 10 - round(volts * 10)) > _DUST:
        return f"{volts:g} V off the 100 mV steps"
    if pdo.kind == "epr_avs":
        power = pdo.max_w or 0.0
        over = f"{volts * amperes:.4g} W of {power:g} W" if volts * amperes > power + 0.5 else ""
        return _within(volts, pdo) or over
    lower, upper = getattr(pdo, "current_15v_a", 0.0), getattr(pdo, "current_20v_a", 0.0)
    highest = _AVS_HIGH if upper else _AVS_MIDDLE
    if not _AVS_LOW - _DUST <= volts <= highest + _DUST:
        return f"{volts:g} V outside {_AVS_LOW:g} to {highest:g} V"
    return _over(amperes, lower if volts <= _AVS_MIDDLE + _DUST else upper)
