"""What a USB-C source must offer for its power rating."""

from dataclasses import dataclass
from math import floor

from partingline.model import Citation
from partingline.sources.documents import cite
from partingline.sources.tables import table


@dataclass(frozen=True, slots=True)
class Required:
    """A supply that must be offered: volts (a programmable one: its highest) and amperes."""

    voltage: float
    current: float


def required_fixed(power: float, *, five_amp_cable: bool) -> tuple[Required, ...]:
    """The fixed supplies for a rating in W by rising voltage, unrounded; a 10 mA step either way is accepted.

    Above 100 W they are those of the standard power range. ValueError outside 0 to 240 W.
    """
    row = table("usb_pd_power")["fixed"]
    highest = _band("fixed", power)["highest"]
    top = min(power / highest, row["most"] if five_amp_cable or highest < 20 else row["plain_cable"])
    lower = [Required(float(v), row["lower_current"]) for v in row["voltages"] if v < highest]
    return (*lower, Required(float(highest), top))


def required_extended(power: float) -> tuple[Required, ...]:
    """The fixed supplies of the extended range for a rating in W by rising voltage; none up to 100 W."""
    row = table("usb_pd_power")["extended"]
    highest = _band("extended", power)["highest"]
    lower = [Required(float(v), row["lower_current"]) for v in row["voltages"] if v < highest]
    return (*lower, Required(float(highest), power / highest)) if highest else ()


def required_programmable(power: float, *, five_amp_cable: bool) -> Required:
    """The programmable supply that a rating in W asks for, if there is any; current in 50 mA steps, down."""
    step = table("usb_pd_power")["programmable"]["step"]
    band = _band("programmable", power)
    most = 5.0 if five_amp_cable else 3.0
    return Required(band["highest"], floor(min(power / band["nominal"], most) / step + 1e-9) * step)


def lowest_programmable(revision: str) -> float | None:
    """The lowest voltage that a programmable supply reaches by revision (`3.1`); None for an unknown one."""
    by_revision: dict[str, float] = table("usb_pd_power")["programmable_lowest"]["by_revision"]
    return next((v for name, v in by_revision.items() if revision.startswith(name)), None)


def source_power_citation(part: str) -> Citation:
    """The source of `fixed`, `extended`, `programmable` or `programmable_lowest`; KeyError for another."""
    row = table("usb_pd_power")[part]
    return cite(row["document"], row["where"], row["mark"])


def _band(part: str, power: float) -> dict[str, float]:
    if not 0 < power <= 240:
        raise ValueError(f"power rating {power:g} W: expected above 0 and at most 240 W")
    bands: list[dict[str, float]] = table("usb_pd_power")[part]["bands"]
    return next(band for band in bands if power <= band["to"])
