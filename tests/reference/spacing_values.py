"""Reference values of insulation distances. Millimetres and kilovolts, as the file has them."""

from typing import Any

from partingline.calc import Real, spacing, surface_path

Inputs = dict[str, Any]


def _group(inputs: Inputs) -> str:
    """The material group; where the column holds for several, one of them."""
    words = str(inputs.get("material_group", inputs.get("group", "III"))).partition("/")[0]
    return words if words in ("I", "II", "III", "IIIa", "IIIb") else "IIIa"


def _creepage_inputs(inputs: Inputs) -> dict[str, Any]:
    degree = str(inputs.get("pollution_degree", inputs.get("pd", 2)))
    return {
        "working_voltage": inputs["v_rms"],
        "pollution_degree": int(degree.partition("-")[0]),
        "material_group": _group(inputs),
    }


def _basic_creepage(inputs: Inputs) -> Real:
    board = "pcb" in str(inputs.get("pollution_degree", inputs.get("pd", ""))).lower()
    return 1e3 * spacing.creepage(**_creepage_inputs(inputs), board=board)


def _clearance(insulation: str) -> Any:
    return lambda i: (
        1e3
        * spacing.required_clearance(
            mains_voltage=i["mains_v"],
            overvoltage_category=i["ovc"],
            pollution_degree=i["pd"],
            altitude=i["altitude_m"],
            insulation=insulation,
        )
    )


def _groove_width(inputs: Inputs) -> Real:
    clearance = inputs.get("associated_clearance_mm")
    return 1e3 * surface_path.groove_width(
        pollution_degree=inputs["pollution_degree"], clearance=None if clearance is None else clearance * 1e-3
    )


SPACING = {
    "iec60664_clearance_case_a_mm": lambda i: (
        1e3 * spacing.clearance(impulse_voltage=i["impulse_kv"] * 1e3, pollution_degree=i["pd"])
    ),
    "iec60664_rated_impulse_kv": lambda i: (
        spacing.rated_impulse_voltage(mains_voltage=i["line_to_neutral_v"], overvoltage_category=i["ovc"]) / 1e3
    ),
    "iec60664_altitude_factor": lambda i: spacing.altitude_factor(altitude=i["altitude_m"]),
    "reinforced_clearance_230v_ovc2_mm": _clearance("reinforced"),
    "reinforced_clearance_120v_ovc2_mm": _clearance("reinforced"),
    "iec60664_basic_creepage_mm": _basic_creepage,
    "creepage_linear_interpolation_mm": lambda i: 1e3 * spacing.creepage_interpolated(**_creepage_inputs(i)),
    "creepage_interpolated_rounded_up_0p1_mm": lambda i: 1e3 * spacing.creepage_rounded_up(**_creepage_inputs(i)),
    "reinforced_creepage_mm": lambda i: 1e3 * spacing.required_creepage(**_creepage_inputs(i), insulation="reinforced"),
    "groove_width_x_mm": _groove_width,
    "v_groove_creepage_mm": lambda i: (
        1e3
        * surface_path.v_groove_creepage(
            width=i["opening_mm"] * 1e-3, depth=i["depth_mm"] * 1e-3, bridged_width=i["x_mm"] * 1e-3
        )
    ),
    "rect_groove_creepage_mm": lambda i: (
        1e3
        * surface_path.groove_creepage(
            width=i["width_mm"] * 1e-3, depth=i["depth_mm"] * 1e-3, bridged_width=i["x_mm"] * 1e-3
        )
    ),
    "rib_creepage_extra_mm": lambda i: (
        1e3 * surface_path.rib_creepage(flat_distance=i["flat_distance_mm"] * 1e-3, height=i["rib_height_mm"] * 1e-3)
    ),
    "rib_clearance_mm": lambda i: (
        1e3
        * surface_path.rib_clearance(
            left_gap=i["left_gap_mm"] * 1e-3,
            thickness=i["rib_thickness_mm"] * 1e-3,
            right_gap=i["right_gap_mm"] * 1e-3,
            height=i["rib_height_mm"] * 1e-3,
        )
    ),
}
