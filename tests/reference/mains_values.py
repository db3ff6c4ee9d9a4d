"""Reference values of the mains rectifier and the bulk capacitor."""

from typing import Any

from partingline.calc import mains, supply, valley

Inputs = dict[str, Any]

_FIELDS = {
    "rectifier_cond_deg": "conduction_angle",
    "rectifier_Ipk": "line_peak_current",
    "rectifier_Irms_line": "line_current",
    "rectifier_Iav_diode": "diode_mean_current",
    "rectifier_Icap_rms": "capacitor_current",
    "rectifier_Vvalley": "valley_voltage",
    "rectifier_Irms_diode": "diode_current",
    "rectifier_PF": "power_factor",
    "rectifier_th1": "conduction_start",
    "rectifier_th2": "conduction_end",
}


def _cycle(inputs: Inputs) -> mains.RectifierCycle:
    same = {
        "power": inputs["p_w"],
        "capacitance": inputs["c_f"],
        "mains_voltage": inputs["v_rms"],
        "mains_frequency": inputs["f_hz"],
        "bridge_drop": inputs.get("total_diode_drop_v", 0.0),
    }
    resistance = inputs.get("source_impedance_ohm", 0)
    if resistance:
        return mains.rectifier_cycle_with_source_resistance(**same, source_resistance=resistance)
    return mains.rectifier_cycle(**same)


def _field(name: str) -> Any:
    return lambda inputs: getattr(_cycle(inputs), name)


MAINS = {
    **{name: _field(field) for name, field in _FIELDS.items()},
    "vmin_vendor_formula_v": lambda i: valley.valley_voltage_estimate(
        power=i["p_w"],
        capacitance=i["c_f"],
        mains_voltage=i["v_rms"],
        mains_frequency=i["f_hz"],
        conduction_share=i["dch"],
    ),
    "hold_up_ms": lambda i: (
        1e3 * supply.hold_up_time(capacitance=i["c_f"], start_voltage=i["v1"], lowest_voltage=i["v2"], power=i["p_w"])
    ),
}
