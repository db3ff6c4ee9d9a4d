"""Write what was said of the charger: a narration and its captions, with two planted slips.

Invented, like the unit. The slips: 27 millifarads for the 27 µF of C3, and 3 A at 15 V where 2.4 A are offered.
"""

NARRATION = """\
# Fennmark Tern 65: narration

Invented, like the unit.

This is the Tern 65 of Fennmark, a wall charger with two ports. Maker, model and every figure are invented.
On the scale it weighs 118 grams. The body is 42 by 40 by 28.4 millimetres.

The label gives an input of 100 to 240 volts, 50 or 60 hertz, and 1.8 amps.
Port C1 is rated 65 watts; port A1 gives 18 watts.
On the wire, C1 offers 3 amps at 5 volts, 3 amps at 9 volts, 2.4 amps at 15 volts and 3.25 amps at 20 volts.

The fuse is a 3.15 amp type. The X capacitor has 0.33 microfarads and is rated 310 volts AC.
Two bulk capacitors share the work: C3 with 27 microfarads and C4 with 82 microfarads, both rated 400 volts.
The primary switch is a 650 volt transistor with an on resistance of 150 milliohms, marked QN650R15.
The Y capacitor is one nanofarad. The creepage across the barrier is 4.31 millimetres.

At 230 volts the average efficiency is 92 percent. Without load the charger takes 148 milliwatts at 230 volts.
The ripple is 62 millivolts. At full load the hottest face reaches 72.7 degrees.
"""

CAPTIONS = (
    (0.0, "this is the Tern 65 of Fennmark"),
    (2.6, "a wall charger with two ports and it is invented"),
    (6.0, "on the scale it weighs one hundred and eighteen grams"),
    (9.5, "the body is forty two by forty by"),
    (12.0, "twenty eight point four millimetres"),
    (15.0, "the label gives an input of one hundred to two forty volts"),
    (18.5, "fifty or sixty hertz and one point eight amps"),
    (22.0, "port c1 is rated sixty five watts port a1 gives eighteen watts"),
    (26.0, "on the wire c1 offers three amps at five volts"),
    (29.5, "three amps at nine volts three amps at fifteen volts"),
    (33.5, "and three and a quarter amps at twenty volts"),
    (37.5, "the fuse is a three point one five amp type"),
    (41.0, "the x capacitor has point three three mike row farads"),
    (44.5, "and is rated three ten volts ac"),
    (47.5, "two bulk capacitors share the work c3 with twenty seven millifarads"),
    (52.0, "and c4 with eighty two microfarads both rated four hundred volts"),
    (56.5, "the primary switch is a six fifty volt transistor"),
    (60.0, "with an on resistance of one hundred fifty mil ohms"),
    (63.5, "marked q n six fifty r fifteen"),
    (66.5, "the y capacitor is one nanofarad"),
    (69.0, "the creepage across the barrier is four point three one millimetres"),
    (73.5, "at two hundred and thirty volts the average efficiency is ninety two percent"),
    (78.5, "without load the charger takes one forty eight milliwatts at two thirty volts"),
    (83.5, "the ripple is sixty two millivolts"),
    (86.5, "at full load the hottest face reaches seventy two point seven degrees"),
)
END = 91.0


def narration_md() -> str:
    """`words/narration.md`: what was meant."""
    return NARRATION


def captions_vtt() -> str:
    """`words/captions.vtt`: what was said, as a captioner heard it."""
    ends = [start for start, _ in CAPTIONS[1:]] + [END]
    cues = [f"{_clock(a)} --> {_clock(b)}\n{text}" for (a, text), b in zip(CAPTIONS, ends, strict=True)]
    return "\n\n".join(["WEBVTT", "NOTE Invented, like the unit.", *cues]) + "\n"


def _clock(seconds: float) -> str:
    return f"{int(seconds) // 60:02d}:{seconds % 60:06.3f}"
