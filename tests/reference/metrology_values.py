"""Reference values of measurement uncertainty and conformity."""

from typing import Any

import numpy as np

from partingline.calc import Real, conformity, uncertainty

Inputs = dict[str, Any]

# JCGM 100:2008, H.1: standard uncertainties in nm, degrees of freedom, and half-widths where the file is silent.
_H1 = {"u_ls": 25.0, "u_d0": 5.8, "u_d1": 3.9, "u_d2": 6.7, "half_width_dalpha": 1e-6, "theta_c": -0.1,
       "half_width_dtheta": 0.05, "alpha_s": 11.5e-6, "ls_nm": 50_000_623}  # fmt: skip
_D_DEGREES = [24.0, 5.0, 8.0]
_LS_DEGREES, _DALPHA_DEGREES, _DTHETA_DEGREES = 18.0, 50.0, 2.0


def _h1_contributions(inputs: Inputs) -> tuple[list[float], list[float]]:
    """The contributions to the length of the end gauge in nm, and their degrees of freedom."""
    i = {**_H1, **inputs}
    parts = [i["u_d0"], i["u_d1"], i["u_d2"]]
    d = uncertainty.combined_uncertainty(sensitivities=[1, 1, 1], uncertainties=parts)
    d_degrees = uncertainty.effective_degrees_of_freedom(contributions=parts, degrees_of_freedom=_D_DEGREES)
    dalpha = uncertainty.standard_uncertainty(half_width=i["half_width_dalpha"])
    dtheta = uncertainty.standard_uncertainty(half_width=i["half_width_dtheta"])
    contributions = [
        i["u_ls"],
        d,
        abs(i["ls_nm"] * i["theta_c"]) * dalpha,
        abs(i["ls_nm"] * i["alpha_s"]) * dtheta,
    ]
    return contributions, [_LS_DEGREES, d_degrees, _DALPHA_DEGREES, _DTHETA_DEGREES]


def _h1_uc(inputs: Inputs) -> float:
    contributions, _ = _h1_contributions(inputs)
    return uncertainty.combined_uncertainty(sensitivities=[1.0] * 4, uncertainties=contributions)


def _h1_degrees(inputs: Inputs) -> float:
    contributions, degrees = _h1_contributions(inputs)
    return uncertainty.effective_degrees_of_freedom(contributions=contributions, degrees_of_freedom=degrees)


def _h2(inputs: Inputs) -> tuple[list[float], list[float], list[float]]:
    """R, X, Z in ohms, their uncertainties, and r(R,X), r(R,Z), r(X,Z) (JCGM 100:2008, H.2)."""
    current = [milliamps * 1e-3 for milliamps in inputs["I_mA"]]
    read = uncertainty.type_a(observations=[inputs["V"], current, inputs["phi"]])
    v, i, phi = read.mean
    z = v / i
    r, x = z * np.cos(phi), z * np.sin(phi)
    slopes = [[r / v, -r / i, -x], [x / v, -x / i, r], [z / v, -z / i, 0.0]]
    covariance = uncertainty.combined_covariance(
        sensitivities=slopes, uncertainties=read.u, correlation=read.correlation
    )
    u = np.sqrt(np.diag(covariance))
    correlation = covariance / np.outer(u, u)
    return [r, x, z], list(u), [correlation[0, 1], correlation[0, 2], correlation[1, 2]]


def _efficiency(inputs: Inputs) -> list[Real]:
    half_widths = {f"u_{name}": inputs[key] / np.sqrt(3) for name, key in
                   (("output_voltage", "a_vo"), ("output_current", "a_io"), ("input_power", "a_pin"))}  # fmt: skip
    got = uncertainty.efficiency_uncertainty(
        output_voltage=inputs["vo"], output_current=inputs["io"], input_power=inputs["pin"], **half_widths
    )
    return [got.efficiency, got.u, got.expanded]


METROLOGY = {
    "gum_h1_length_nm": lambda i: i["ls_nm"] + i["d_nm"],
    "gum_h1_uc_nm": _h1_uc,
    "gum_h1_dof": _h1_degrees,
    "gum_h1_U99_nm": lambda i: i["uc_nm"] * uncertainty.coverage_factor(degrees_of_freedom=i["nu"], probability=0.99),
    "gum_h2_R_X_Z_ohm": lambda i: _h2(i)[0],
    "gum_h2_u": lambda i: _h2(i)[1],
    "gum_h2_corr": lambda i: _h2(i)[2],
    "jcgm106_two_sided_pc": lambda i: conformity.conformity_two_sided(
        value=i["y"], u=i["u"], low=i["tl"], high=i["tu"]
    ),
    "jcgm106_lower_pc": lambda i: conformity.conformity_at_least(value=i["y"], u=i["u"], low=i["tl"]),
    "jcgm106_upper_pc": lambda i: conformity.conformity_at_most(value=i["y"], u=i["u"], high=i["tu"]),
    "jcgm106_radar_kmh": lambda i: conformity.rejection_limit_relative(
        limit=i["limit"], relative_u=i["u_rel"], probability=i["p"]
    ),
    "conformity_no_load_pc": lambda i: conformity.conformity_at_most(value=i["y"], u=i["u"], high=i["tu"]),
    "guarded_acceptance_limit_w": lambda i: conformity.acceptance_limit_at_most(
        limit=i["tu"], u=i["u"], false_acceptance=i["pfa"]
    ),
    "efficiency_uncertainty": _efficiency,
}
