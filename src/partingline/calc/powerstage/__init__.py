"""The power stage: what the parts inside make the charger do.

Reading order is the order of the data: `stage` (what the parts are), `ramp`, `turn_off`, `clamp` and `ring` (pieces
of a cycle), `cycle` (one cycle for a peak current), `operating_point` (the cycle that carries a load), `waveform`
(its curves in time), `control` (which mode a controller settles on), `bulk_average` and `budget` (losses over the
bulk ripple), `chart` (a map over line and load). `infer`, `backwards` and `which_measurement` read the design from
what was measured outside. Beside the flyback stand the further stages, one a file: `buck`, `pfc_boundary`.
"""

from partingline.calc.powerstage import (
    active_clamp,
    buck,
    bulk_sharing,
    burst,
    capacitance,
    copper,
    heat,
    pfc_boundary,
)

__all__ = [
    "active_clamp",
    "buck",
    "bulk_sharing",
    "burst",
    "capacitance",
    "copper",
    "heat",
    "pfc_boundary",
]
