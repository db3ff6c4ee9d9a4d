"""How a cycle runs, and why there may be none: the numbers that stand in a `Cycle`."""

VALLEY, DISCONTINUOUS, CONTINUOUS = 1, 2, 3

MODES = {0: "none", VALLEY: "valley switching", DISCONTINUOUS: "discontinuous", CONTINUOUS: "continuous"}

BELOW_FLOOR, SUBHARMONIC, NOT_FOUND = 1, 2, 3

REASONS = {
    0: "",
    BELOW_FLOOR: "below the least load of this valley: even without peak current a cycle moves the energy of the "
    "drain node; the controller must skip valleys or cycles",
    SUBHARMONIC: "duty above one half in continuous mode with peak-current control and no slope compensation: "
    "every other cycle differs",
    NOT_FOUND: "no cycle carries this load: the current would have to grow without end, or the output is above what "
    "the stage can reach",
}
