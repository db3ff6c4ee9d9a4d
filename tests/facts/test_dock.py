"""An invented dock: what its listing promises of the picture beside what the wire tells, and the power for its host.

4K at 60 Hz in 8 bit needs 12.54 Gbit/s (CVT reduced blanking 2: 522.6 MHz): two HBR3 lanes carry 12.96, two HBR2
lanes 8.64 Gbit/s (published data rates, from memory). 62 Hz need 62 × 3920 × 2224 × 24 = 12.97 Gbit/s, worked by hand.
"""

from pathlib import Path

import numpy as np
import pytest

from partingline.facts.draws import Draws
from partingline.facts.opened import open_unit
from partingline.findings import Case, run
from partingline.model import Key, Route
from partingline.readers.label.video import read_video_modes
from tests.readers.cc.dialogue import Dialogue, message, payload
from tests.readers.cc.transmitter import Line, record

LINE = Line(rate_hz=5e6, idle_v=1.68, noise_pp_v=0.05)
UNIT = """
[unit]
maker = "Invented Docks"
model = "HARBOUR-8"
kind = "dock"
invented = true

[[port]]
id = "C1"
connector = "USB-C"

[[reading]]
subject = "unit"
quantity = "supply_power"
value = "100 W"

[[reading]]
subject = "unit"
quantity = "own_power"
value = "15 W"
"""


def dock(folder: Path, listing: str, configure: int) -> Path:
    """A dock that enters DisplayPort with pins D (two lanes beside USB 3) and the signalling of `configure`."""
    talk = Dialogue(LINE)
    talk.say(payload("V20"))
    talk.say(message(15, 1, source=True, words=(0xFF01A904,)))
    talk.say(message(15, 1, source=False, words=(0xFF01A944,)))
    talk.say(message(15, 2, source=True, words=(0xFF01A911, configure)))
    (folder / "captures").mkdir(parents=True)
    (folder / "words").mkdir()
    volts = record(talk.sent, length_s=talk.now_s + 2e-3, line=LINE)
    table = "\n".join(f"{i / 5e6:.7f},{v:.4f}" for i, v in enumerate(volts))
    (folder / "captures/c1.csv").write_text("time (s),CC1 (V)\n" + table + "\n")
    (folder / "unit.toml").write_text(UNIT)
    (folder / "words/listing.md").write_text(listing)
    return folder


@pytest.mark.parametrize(("configure", "verdict", "highest"), [(0x0806, "meets", 61.0), (0x0802, "falls short", 41.0)])
def test_a_claim_of_the_picture_is_a_fact_with_two_routes(
    tmp_path: Path, configure: int, verdict: str, highest: float
) -> None:
    opened = open_unit(dock(tmp_path / "harbour-8", "- 4K at 60 Hz over HDMI\n", configure), Draws(40))
    assert opened.problems == ()
    fact = opened.book.fact(Key.of("unit", "video_refresh", size="3840×2160", displays=1))
    assert fact is not None
    assert {statement.route for statement in fact.statements} == {Route.CAPTURED, Route.LISTING}
    assert fact.value == highest
    findings = run(Case(opened.unit, opened.book, captures=opened.captures))
    told = [f for f in findings if f.rule == "claims.listing_is_kept" and f.key == fact.key]
    assert [f.verdict.value for f in told] == [verdict]


@pytest.mark.parametrize(("configure", "agrees"), [(0x0806, True), (0x0802, False)])
def test_a_picture_printed_on_the_label_is_beside_the_wire(tmp_path: Path, configure: int, agrees: bool) -> None:
    folder = dock(tmp_path / "harbour-8", "- 1080p60\n", configure)
    label = '[label]\ntext = """\nINPUT: 100-240V~ 50/60Hz 1.5A\nHDMI 4K 60 Hz\n"""\n'
    (folder / "unit.toml").write_text(UNIT + label)
    opened = open_unit(folder, Draws(40))
    assert [problem.found for problem in opened.problems] == ["not read: 'HDMI'"]
    fact = opened.book.fact(Key.of("unit", "video_refresh", size="3840×2160", displays=1))
    assert fact is not None
    assert {statement.route for statement in fact.statements} == {Route.CAPTURED, Route.LABEL}
    printed = next(statement for statement in fact.statements if statement.route is Route.LABEL)
    assert (printed.said, printed.evidence[0].path) == ("HDMI 4K 60 Hz", "unit.toml")
    mains = opened.book.fact(Key.of("unit", "rated_input_frequency"))
    assert mains is not None
    assert "4K" not in mains.preferred.said
    findings = run(Case(opened.unit, opened.book, captures=opened.captures))
    told = {f.rule: f.verdict.value for f in findings if f.key == fact.key}
    assert told == {"claims.label_picture_is_kept": "meets" if agrees else "falls short"}


def test_power_left_for_the_host(tmp_path: Path) -> None:
    opened = open_unit(dock(tmp_path / "harbour-8", "", 0x0806), Draws(40))
    fact = opened.book.fact(Key.of("unit", "host_power"))
    assert fact is not None
    assert fact.value == 85.0


def test_two_displays_share_the_link(tmp_path: Path) -> None:
    opened = open_unit(dock(tmp_path / "harbour-8", "- dual 1080p60\n- 3840×2160@30\n", 0x0806), Draws(40))
    two = opened.book.fact(Key.of("unit", "video_refresh", size="1920×1080", displays=2))
    one = opened.book.fact(Key.of("unit", "video_refresh", size="1920×1080", displays=1))
    assert two is not None
    assert one is not None
    assert np.isfinite(two.value)
    assert 60 < two.value < one.value


@pytest.mark.parametrize(
    ("line", "size", "refresh", "displays"),
    [
        ("4K 60 Hz", "3840×2160", 60, 1),
        ("HDMI 2.0 (4K/60Hz)", "3840×2160", 60, 1),
        ("3840×2160@60", "3840×2160", 60, 1),
        ("2 x 4K 30Hz", "3840×2160", 30, 2),
        ("8K30", "7680×4320", 30, 1),
        ("1440p at 120 Hz", "2560×1440", 120, 1),
    ],
)
def test_pictures_as_people_write_them(line: str, size: str, refresh: int, displays: int) -> None:
    (mode,) = read_video_modes(line)
    assert (mode.size, mode.refresh, mode.displays) == (size, refresh, displays)


@pytest.mark.parametrize("line", ["up to 4K, 100 W", "4K 100 W", "4K 10 Gbps", "1080p", "20 V 3.25 A"])
def test_what_is_no_picture(line: str) -> None:
    assert read_video_modes(line) == ()
