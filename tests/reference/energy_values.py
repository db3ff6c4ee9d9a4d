"""Reference values of efficiency and power."""

from typing import Any

from partingline.calc import efficiency, efficiency_limits, ratings

Inputs = dict[str, Any]


def _power(inputs: Inputs) -> float:
    return float(inputs["pout_w"] if "pout_w" in inputs else inputs["vout_v"] * inputs["iout_a"])


def _class(inputs: Inputs) -> str:
    """The supply class from whatever the inputs say of it."""
    kind = str(inputs.get("kind", "")).lower()
    if "ac-ac" in kind:
        return "ac-ac"
    if "multi" in kind:
        return "multiple-voltage"
    if "low_voltage" in inputs:
        return "low-voltage" if inputs["low_voltage"] else "basic"
    if "voltage_class" in inputs:
        return "low-voltage" if "low" in str(inputs["voltage_class"]).lower() else "basic"
    if "vout_v" in inputs:
        return efficiency.voltage_class(output_voltage=inputs["vout_v"], output_current=inputs["iout_a"])
    return "basic"


def _limit(calculation: Any, supply_class: str = "") -> Any:
    return lambda i: calculation(output_power=_power(i), supply_class=supply_class or _class(i))


def _of_level(calculation: Any) -> Any:
    return lambda i: calculation(level=i["level"], output_power=_power(i), supply_class=_class(i))


ENERGY = {
    "doe_vi_min_avg_efficiency": _limit(efficiency_limits.us_level_vi_average),
    "doe_vi_max_no_load_w": _limit(efficiency_limits.us_level_vi_no_load),
    "doe_vi_multi_voltage_min_avg_efficiency": _limit(efficiency_limits.us_level_vi_average, "multiple-voltage"),
    "doe_vi_multi_voltage_max_no_load_w": _limit(efficiency_limits.us_level_vi_no_load, "multiple-voltage"),
    "eu_2019_1782_min_avg_efficiency": _limit(efficiency_limits.eu_2019_1782_average),
    "eu_2019_1782_max_no_load_w": _limit(efficiency_limits.eu_2019_1782_no_load),
    "eu_coc_v5_tier1_min_avg_efficiency": _limit(efficiency_limits.coc_tier1_average),
    "eu_coc_v5_tier1_min_10pct_efficiency": _limit(efficiency_limits.coc_tier1_low_load),
    "eu_coc_v5_tier1_max_no_load_w": _limit(efficiency_limits.coc_tier1_no_load),
    "eu_coc_v5_tier2_min_avg_efficiency": _limit(efficiency_limits.coc_tier2_average),
    "eu_coc_v5_tier2_min_10pct_efficiency": _limit(efficiency_limits.coc_tier2_low_load),
    "eu_coc_v5_tier2_max_no_load_w": _limit(efficiency_limits.coc_tier2_no_load),
    "iemp_level_min_avg_efficiency": _of_level(efficiency_limits.marking_level_average),
    "iemp_level_max_no_load_w": _of_level(efficiency_limits.marking_level_no_load),
    "eps_average_efficiency": lambda i: efficiency.average_efficiency(efficiencies=i["eff_percent"]),
    "eps_derating_factor_D": lambda i: efficiency.port_derating_factor(
        total_power=i["p_total_w"], port_powers=i["port_powers_w"]
    ),
    "eps_usb_pd_low_voltage_load_currents_a": lambda i: efficiency.usb_pd_low_voltage_currents(),
    "iec62301_ed2_permitted_uncertainty_w": lambda i: efficiency.permitted_uncertainty_2011(
        power=i["power_w"], crest_factor=i["crest_factor"], power_factor=i["power_factor"]
    ),
    "iec62301_ed1_permitted_uncertainty_w": lambda i: efficiency.permitted_uncertainty_2005(power=i["power_w"]),
    "iec61000_3_2_limits": lambda i: [
        ratings.harmonic_limit_class_a(harmonic=i["harmonic"]),
        1e3 * ratings.harmonic_limit_class_d(harmonic=i["harmonic"]),
    ],
}
