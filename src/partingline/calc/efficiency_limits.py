"""The published efficiency and no-load limits, each as a calculation of its own. Fractions and watts.

`supply_class` is `basic`, `low-voltage`, `ac-ac` or `multiple-voltage`; KeyError for one that the programme
lacks. NaN where the programme has no limit for the power.
"""

from partingline.calc.declare import Example, Real, calculation
from partingline.sources import cite
from partingline.sources.supply_limits import supply_limit

_UNITS = {"output_power": "W", "supply_class": ""}


@calculation(
    source=cite("us-10cfr430-32", "(w)(1)(ii)", "S2"),
    units=_UNITS,
    gives="1",
    errata="Not continuous at 49 W: 87.77 % there, 88.0 % above.",
    example=Example({"output_power": 65.0, "supply_class": "basic"}, 0.88, 0.0, "10 CFR 430.32(w), 49 to 250 W"),
)
def us_level_vi_average(*, output_power: Real, supply_class: str = "basic") -> Real:
    """The least average efficiency of US Level VI."""
    return supply_limit("us-level-vi", "average", supply_class)(output_power)[()]


@calculation(
    source=cite("us-10cfr430-32", "(w)(1)(ii)", "S2"),
    units=_UNITS,
    gives="W",
    example=Example({"output_power": 65.0, "supply_class": "basic"}, 0.21, 0.0, "10 CFR 430.32(w), 49 to 250 W"),
)
def us_level_vi_no_load(*, output_power: Real, supply_class: str = "basic") -> Real:
    """The highest no-load power of US Level VI."""
    return supply_limit("us-level-vi", "no-load", supply_class)(output_power)[()]


@calculation(
    source=cite("eu-2019-1782", "Annex II, 1(a)", "S"),
    units=_UNITS,
    gives="1",
    valid_for={"output_power": (0.0, 250.0)},
    example=Example({"output_power": 100.0, "supply_class": "multiple-voltage"}, 0.86, 0.0, "EU 2019/1782, Annex II"),
)
def eu_2019_1782_average(*, output_power: Real, supply_class: str = "basic") -> Real:
    """The least average active efficiency of Regulation (EU) 2019/1782."""
    return supply_limit("eu-2019-1782", "average", supply_class)(output_power)[()]


@calculation(
    source=cite("eu-2019-1782", "Annex II, 1(a)", "S"),
    units=_UNITS,
    gives="W",
    valid_for={"output_power": (0.0, 250.0)},
    example=Example({"output_power": 65.0, "supply_class": "multiple-voltage"}, 0.3, 0.0, "EU 2019/1782, Annex II"),
)
def eu_2019_1782_no_load(*, output_power: Real, supply_class: str = "basic") -> Real:
    """The highest no-load power of Regulation (EU) 2019/1782."""
    return supply_limit("eu-2019-1782", "no-load", supply_class)(output_power)[()]


@calculation(
    source=cite("eu-coc-v5", "tier 1", "S2"),
    units=_UNITS,
    gives="1",
    valid_for={"output_power": (0.3, 250.0)},
    example=Example({"output_power": 65.0, "supply_class": "basic"}, 0.89, 0.0, "Code of Conduct v5, 49 to 250 W"),
)
def coc_tier1_average(*, output_power: Real, supply_class: str = "basic") -> Real:
    """The least average efficiency of the EU Code of Conduct, tier 1."""
    return supply_limit("coc-v5-tier1", "average", supply_class)(output_power)[()]


@calculation(
    source=cite("eu-coc-v5", "tier 1", "S2"),
    units=_UNITS,
    gives="1",
    valid_for={"output_power": (0.3, 250.0)},
    example=Example({"output_power": 65.0, "supply_class": "basic"}, 0.79, 0.0, "Code of Conduct v5, 49 to 250 W"),
)
def coc_tier1_low_load(*, output_power: Real, supply_class: str = "basic") -> Real:
    """The least efficiency at 10 % load of the EU Code of Conduct, tier 1."""
    return supply_limit("coc-v5-tier1", "low-load", supply_class)(output_power)[()]


@calculation(
    source=cite("eu-coc-v5", "tier 1", "S2"),
    units=_UNITS,
    gives="W",
    valid_for={"output_power": (0.3, 250.0)},
    example=Example({"output_power": 45.0, "supply_class": "basic"}, 0.15, 0.0, "Code of Conduct v5, 0.3 to 49 W"),
)
def coc_tier1_no_load(*, output_power: Real, supply_class: str = "basic") -> Real:
    """The highest no-load power of the EU Code of Conduct, tier 1."""
    return supply_limit("coc-v5-tier1", "no-load", supply_class)(output_power)[()]


@calculation(
    source=cite("eu-coc-v5", "tier 2; low-voltage coefficients from memory", "S2"),
    units=_UNITS,
    gives="1",
    valid_for={"output_power": (0.3, 250.0)},
    example=Example({"output_power": 65.0, "supply_class": "basic"}, 0.89, 0.0, "Code of Conduct v5, 49 to 250 W"),
)
def coc_tier2_average(*, output_power: Real, supply_class: str = "basic") -> Real:
    """The least average efficiency of the EU Code of Conduct, tier 2."""
    return supply_limit("coc-v5-tier2", "average", supply_class)(output_power)[()]


@calculation(
    source=cite("eu-coc-v5", "tier 2, 10 % load; coefficient chosen by continuity at 49 W", "M"),
    units=_UNITS,
    gives="1",
    valid_for={"output_power": (0.3, 250.0)},
    errata="One copy prints -0.0014 P in the basic column, which breaks at 49 W; -0.00115 P is used.",
    example=Example({"output_power": 65.0, "supply_class": "basic"}, 0.79, 0.0, "Code of Conduct v5, 49 to 250 W"),
)
def coc_tier2_low_load(*, output_power: Real, supply_class: str = "basic") -> Real:
    """The least efficiency at 10 % load of the EU Code of Conduct, tier 2."""
    return supply_limit("coc-v5-tier2", "low-load", supply_class)(output_power)[()]


@calculation(
    source=cite("eu-coc-v5", "tier 2", "S2"),
    units=_UNITS,
    gives="W",
    valid_for={"output_power": (0.3, 250.0)},
    example=Example({"output_power": 45.0, "supply_class": "basic"}, 0.075, 0.0, "Code of Conduct v5, 0.3 to 49 W"),
)
def coc_tier2_no_load(*, output_power: Real, supply_class: str = "basic") -> Real:
    """The highest no-load power of the EU Code of Conduct, tier 2."""
    return supply_limit("coc-v5-tier2", "no-load", supply_class)(output_power)[()]


LEVELS = {"II": "level-ii", "III": "level-iii", "IV": "level-iv", "V": "level-v", "VI": "us-level-vi"}
"""Roman numerals of the marking protocol and the table behind each."""


@calculation(
    source=cite("iemp-v3", "levels II to VI; II and IV from memory", "S2"),
    units={"level": "", **_UNITS},
    gives="1",
    example=Example(
        {"level": "V", "output_power": 65.0, "supply_class": "basic"},
        0.87,
        0.0,
        "marking protocol v3.0, level V",
    ),
)
def marking_level_average(*, level: str, output_power: Real, supply_class: str = "basic") -> Real:
    """The least average efficiency of a marking level, `II` to `VI`. KeyError for another level."""
    return supply_limit(_programme(level), "average", supply_class)(output_power)[()]


@calculation(
    source=cite("iemp-v3", "levels II to VI; II and IV from memory", "S2"),
    units={"level": "", **_UNITS},
    gives="W",
    example=Example(
        {"level": "III", "output_power": 65.0, "supply_class": "basic"},
        0.75,
        0.0,
        "marking protocol v3.0, level III",
    ),
)
def marking_level_no_load(*, level: str, output_power: Real, supply_class: str = "basic") -> Real:
    """The highest no-load power of a marking level, `II` to `VI`. KeyError for another level."""
    return supply_limit(_programme(level), "no-load", supply_class)(output_power)[()]


@calculation(
    source=cite("iemp-v3", "the numeral is the highest level whose two limits are both met", "S2"),
    units={"average_efficiency": "1", "no_load_power": "W", "output_power": "W", "supply_class": ""},
    gives="",
    example=Example(
        {"average_efficiency": 0.875, "no_load_power": 0.09, "output_power": 65.0, "supply_class": "basic"},
        "V",
        0.0,
        "marking protocol v3.0: 87 % met, 88 % not",
    ),
)
def marking_level(
    *, average_efficiency: float, no_load_power: float, output_power: float, supply_class: str = "basic"
) -> str:
    """The highest marking level that a unit meets; `I` meets none. Not for arrays."""
    for level in reversed(LEVELS):
        average = supply_limit(LEVELS[level], "average", supply_class)(output_power)
        no_load = supply_limit(LEVELS[level], "no-load", supply_class)(output_power)
        if average_efficiency >= average and no_load_power <= no_load:
            return level
    return "I"


def _programme(level: str) -> str:
    if level not in LEVELS:
        raise KeyError(f"no marking level {level!r} with limits: expected one of {', '.join(LEVELS)}")
    return LEVELS[level]
