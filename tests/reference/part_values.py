"""Reference values about parts, heat and cables."""

from typing import Any

from partingline.calc import Real, body, cables, capacitors, lifetime, safety, supply, thermal

Inputs = dict[str, Any]

_CONTACT = {
    ">1 min to <8 h": "held",
    "10 s to 1 min": "10 s to 1 min",
    "1 s to 10 s": "1 s to 10 s",
    "<1 s": "below 1 s",
    ">8 h": "worn",
    "> 8 h": "worn",
    "worn": "worn",
    "held": "held",
    "below 1 s": "below 1 s",
}


def _charged_capacitor(inputs: Inputs) -> list[Real]:
    limits = safety.charged_capacitor_limits(capacitance=inputs["c_nf"] * 1e-9)
    return [limits.es1, limits.es2]


def _power_density(inputs: Inputs) -> list[Real]:
    sides = {"length": inputs["l_mm"] / 1e3, "width": inputs["w_mm"] / 1e3, "height": inputs["h_mm"] / 1e3}
    density = body.power_density(power=inputs["p_w"], volume=body.volume(**sides))
    return [density / 1e6, body.power_density_per_cubic_inch(power_density=density)]


def _rubycon(inputs: Inputs) -> Real:
    return lifetime.life_rubycon(
        rated_life=inputs["lb_h"],
        rated_temperature=inputs["tmax_c"],
        temperature=inputs["ta_c"],
        ripple_current=inputs["i_a"],
        rated_ripple_current=inputs["i0_a"],
        rated_core_rise=inputs["dTj0_k"],
    )


PARTS = {
    "iec62368_charged_capacitor_limit_v": _charged_capacitor,
    "x_capacitor_residual_v": lambda i: capacitors.residual_voltage(
        capacitance=i["c_f"], resistance=i["r_ohm"], start_voltage=i["v0"], time=i["t_s"]
    ),
    "iec62368_ts1_limit_c": lambda i: [
        thermal.touch_temperature_limit(material=i["material"], contact=_CONTACT[row]) for row in i["rows"]
    ],
    "iec60384_14_impulse_kv": lambda i: (
        capacitors.suppression_impulse_voltage(safety_class=i["cls"], capacitance=i["c_uf"] * 1e-6) / 1e3
    ),
    "capacitor_energy_j": lambda i: capacitors.stored_energy(capacitance=i["c_f"], voltage=i["v"]),
    "inrush_peak_a": lambda i: supply.inrush_current(mains_voltage=i["v_rms"], resistance=i["r_ohm"]),
    "inrush_r_min_ohm": lambda i: supply.inrush_resistance(peak_voltage=i["v_pk"], current=i["i_max_a"]),
    "elcap_life_10k_h": lambda i: lifetime.life_10k(
        rated_life=i["l0_h"], rated_temperature=i["t0_c"], temperature=i["t_c"]
    ),
    "elcap_life_mission_profile_h": lambda i: lifetime.life_mission_profile(
        hours=[hours for hours, _ in i["segments"]], lives=[life for _, life in i["segments"]]
    ),
    "elcap_equivalent_temperature_c": lambda i: lifetime.equivalent_temperature(
        life=i["l_h"], rated_life=i["l0_h"], rated_temperature=i["t0_c"]
    ),
    "elcap_life_rubycon_h": _rubycon,
    "arrhenius_factor": lambda i: lifetime.arrhenius_factor(
        activation_energy=i["ea_ev"], temperature=i["t1_c"], stress_temperature=i["t2_c"]
    ),
    "arrhenius_ea_equal_to_10k_rule_ev": lambda i: lifetime.arrhenius_energy(
        factor=2.0, temperature=i["t1_c"], stress_temperature=i["t2_c"]
    ),
    "power_density": _power_density,
    "awg_resistance_mohm_per_m": lambda i: 1e3 * cables.awg_resistance(gauge=i["awg"], temperature=i["temp_c"]),
    "usb_c_cable_loop_resistance_max_ohm": lambda i: cables.usb_c_loop_resistance(current=i["i_a"]),
}
