"""What a dock can show and what it leaves for its host."""

from collections.abc import Iterator

from partingline.calc import videolink
from partingline.facts.derivation import Derivation
from partingline.facts.derivations.layout import Layout
from partingline.model import Key, Route

_CLAIMED = "video_refresh"


def derive(layout: Layout) -> Iterator[Derivation]:
    """Highest refresh rate for the sizes that docks are sold with and for those claimed; power for the host."""
    link = _best_link(layout)
    if link:
        sizes = {(f"{width}×{height}", 1.0) for width, height, _ in videolink.STANDARD_MODES.values()}
        for key in layout.with_quantity(_CLAIMED, "unit"):
            sizes.add((str(key.condition("size")), key.number("displays")))
        for size, displays in sorted(sizes):
            width, _, height = size.partition("×")
            yield Derivation(
                Key.of("unit", _CLAIMED, size=size, displays=displays),
                {"lanes": Key.of(link, "video_lanes"), "lane_rate": Key.of(link, "video_lane_rate")},
                videolink.highest_refresh,
                videolink.highest_refresh.source,
                fixed={"width": int(width), "height": int(height), "displays": int(displays)},
                route=Route.CAPTURED,
                note="lanes × rate × coding against reduced blanking, 8 bit, uncompressed",
            )
    power = videolink.power_for_host
    needs = {"supply": Key.of("unit", "supply_power"), "dock": Key.of("unit", "own_power")}
    yield Derivation(Key.of("unit", "host_power"), needs, power, power.source)


def _best_link(layout: Layout) -> str:
    """The recording with the fastest link."""
    links = {key.subject: (layout.number(key) or 0.0) for key in layout.with_quantity("video_lanes", "capture:")}
    rates = {subject: layout.number(Key.of(subject, "video_lane_rate")) or 0.0 for subject in links}
    return max(links, key=lambda subject: links[subject] * rates[subject], default="")
