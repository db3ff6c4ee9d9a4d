"""One flyback netlist for ngspice, run and measured: an opinion from outside on the power stage's closed forms.

The circuit is fed with a peak current and a valley or a clock, and a stiff output; what load that makes is measured.
"""

import subprocess
import tempfile
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
DIODE = 0.1 * 0.02585
SATURATION = 1e-6
DEFAULTS = {
    "n": 6.0, "Lm": 350e-6, "Llk": 3.5e-6, "Coss": 120e-12, "Ron": 0.3, "Rp": 0.2, "Rs": 0.005, "Rsr": 0.005,
    "Resr": 0.008, "Rcl": 47e3, "Ccl": 4.7e-9, "Vz": 0.0, "Rlk": 2000.0, "Q": 0.0,
}  # fmt: skip
"""As in the first reference set; `Vz` > 0 puts a zener in place of the RC clamp, `Q` > 0 damps the drain ring."""

NETLIST = """flyback, own netlist
Vbulk bulk 0 {V}
Vp bulk a0 0
Rp a0 a {Rp}
Llk a b {Llk} ic={start}
Rlk a b {Rlk}
Lm b m {Lm} ic={start}
Vlm m d 0
{softening}
Esec s0 0 d b {per_n}
Vs s0 s1 0
Fpri d b Vs {per_n}
Rs s1 s2 {Rs}
Drec s2 s3 rectifier
Rsr s3 out {Rsr}
Resr out cap {Resr}
Vout cap 0 {Vo}
Iload out 0 {load}
Cd d 0 {Coss} ic=0
S1 d 0 g 0 main on
Dbody 0 d body
{clamp}
Bring d b I = v(d,b)*{ring}*u(v(timer)-{half_off})*u(2.5-v(g))/(1+exp((i(Vs)-2m)/0.4m))
* latch: the hysteresis of S2 holds the state
S2 vdd g ctl 0 latch on
Vdd vdd 0 5
Rg g 0 1k
Bctl ctl0 0 V = v(g)>2.5 ? (i(Vp)>{peak} ? -2 : 0) : ({turn_on} ? 2 : 0)
Rctl ctl0 ctl 100
Cctl ctl 0 1p
Btime 0 timer I = 1m*u(2.5-v(g))
Ctime timer 0 1n ic=0
S3 timer 0 g 0 discharge
Vclk clk 0 pulse(0 1 {period} 1n 1n 40n {period})
.model main sw vt=2.5 vh=0.1 ron={Ron} roff=20meg
.model latch sw vt=0 vh=1 ron=10 roff=100meg
.model discharge sw vt=2.5 vh=0.1 ron=1 roff=1g
.model rectifier d(is=1e-6 n=0.1)
.model clampd d(is=1e-9 n=1 rs=0.5)
.model body d(is=1e-9 n=1)
.options reltol=1e-4 method=trap abstol=1e-9 vntol=1e-5 itl4=100
.save v(g) v(d) i(vp) i(vs) i(vbulk) i(vlm) v(cl)
.tran {step} {stop} {begin} {step} uic
.control
set filetype=binary
run
write {file}
quit
.endc
.end
"""


@dataclass(frozen=True)
class Run:
    """What to run. `peak` in A is where the switch turns off; turn-on in a valley or at a `frequency` in Hz.

    `expected` are the on time, demagnetisation time and period in s that place the valley window and the length of
    the run; `clamp` the level to start from, in V above the bulk; `load` in A makes the ESR act on the ripple alone.
    """

    params: dict[str, float]
    V: float
    Vo: float
    peak: float
    load: float
    clamp: float
    expected: tuple[float, float, float]
    valley: int = 0
    frequency: float = 0.0
    start: float = 0.0
    cycles: int = 60


def simulate(run: Run, *, step: float = 10e-9) -> dict[str, float]:
    """The steady state of the netlist; RuntimeError where ngspice gives up."""
    return _measured(_ran(run, step), run.V, _MEASURED)


def one_cycle(run: Run, samples: int = 240, *, step: float = 5e-9) -> dict[str, Array]:
    """The curves of the last whole cycle from turn-on, at even times: drain V, primary and secondary A."""
    wave = _ran(run, step)
    on = wave["v(g)"] > 2.5
    first, last = (np.flatnonzero(~on[:-1] & on[1:]) + 1)[-2:]
    time = np.linspace(wave["time"][first], wave["time"][last], samples, endpoint=False)
    names = {"drain": "v(d)", "primary": "i(vp)", "secondary": "i(vs)"}
    return {"time": time - time[0]} | {own: np.interp(time, wave["time"], wave[n]) for own, n in names.items()}


_MEASURED = 12


def _ran(run: Run, step: float) -> dict[str, Array]:
    """What ngspice saved.

    A continuous cycle turns a conducting rectifier off at once: 1 pF at the winding and
    50 pF across the rectifier keep the time step finite there.
    """
    p = DEFAULTS | run.params
    _, off, period = run.expected
    ring = np.pi * np.sqrt((p["Lm"] + p["Llk"]) * p["Coss"])
    opens = (off + (2 * run.valley - 2) * ring + 0.15 * ring) * 1e6
    window = f"(v(timer)>{opens:.6g}) && (i(Vlm)>0)"
    with tempfile.TemporaryDirectory() as folder:
        raw = Path(folder) / "run.raw"
        impedance = np.sqrt((p["Lm"] + p["Llk"]) / p["Coss"])
        text = NETLIST.format(
            **p, V=run.V, Vo=run.Vo, per_n=1 / p["n"], load=run.load, peak=run.peak, start=run.start,
            softening="Csoft b 0 1p\nCrec s2 s3 50p" if run.start else "", clamp=_clamp(p, run.clamp),
            ring=1 / (p["Q"] * impedance) if p["Q"] else 0.0, half_off=0.5 * off * 1e6,
            turn_on=window if run.valley else "v(clk)>0.5", period=1 / run.frequency if run.frequency else 1.0,
            step=step, stop=(run.cycles + _MEASURED + 2) * period, begin=run.cycles * period, file=raw,
        )  # fmt: skip
        (Path(folder) / "run.cir").write_text(text)
        done = subprocess.run(
            ["ngspice", "-b", "run.cir"], cwd=folder, capture_output=True, text=True, timeout=120, check=False
        )
        if not raw.exists():
            raise RuntimeError(f"ngspice gave no result: {(done.stderr + done.stdout)[-600:]}")
        return _read(raw)


def _clamp(p: dict[str, float], level: float) -> str:
    if p["Vz"]:
        return f"Dcl d cl clampd\nVz cl bulk {p['Vz']}"
    return f"Dcl d cl clampd\nRcl cl bulk {p['Rcl']}\nCcl cl bulk {p['Ccl']} ic={level}"


def _read(path: Path) -> dict[str, Array]:
    head, _, body = path.read_bytes().partition(b"Binary:\n")
    lines = head.decode().splitlines()
    count = int(next(line for line in lines if line.startswith("No. Variables")).split(":")[1])
    names = [line.split()[1].lower() for line in lines[-count:]]
    table = np.frombuffer(body, dtype="<f8").reshape(-1, count)
    return {name: table[:, index].copy() for index, name in enumerate(names)}


def _measured(wave: dict[str, Array], bulk: float, wanted: int) -> dict[str, float]:
    """Means over whole cycles, from turn-on to turn-on."""
    time, on = wave["time"], wave["v(g)"] > 2.5
    rises = np.flatnonzero(~on[:-1] & on[1:]) + 1
    if len(rises) < 4:
        raise RuntimeError(f"only {len(rises)} cycles in the measured span")
    rises = rises[-(wanted + 1) :]
    first, last, count = rises[0], rises[-1], len(rises) - 1
    part = slice(first, last + 1)
    t, primary, secondary = time[part], wave["i(vp)"][part], wave["i(vs)"][part]
    held = on[part]
    span = t[-1] - t[0]

    def mean(values: Array) -> float:
        return float(np.trapezoid(values, t) / span)

    cycles = list(pairwise(rises))
    periods = np.diff(time[rises])
    return {
        "f": count / span,
        "Ipk": float(np.mean([wave["i(vp)"][a:b][on[a:b]].max() for a, b in cycles])),
        "Iprms": mean(np.where(held, primary, 0.0) ** 2) ** 0.5,
        "Ipw_rms": mean(primary**2) ** 0.5,
        "Isrms": mean(secondary**2) ** 0.5,
        "Ispk": float(np.mean([wave["i(vs)"][a:b].max() for a, b in cycles])),
        "Io": mean(secondary),
        "Pin": bulk * mean(-wave["i(vbulk)"][part]),
        "Vdpk": float(np.mean([wave["v(d)"][a:b].max() for a, b in cycles])),
        "Vcl": mean(wave["v(cl)"][part]) - bulk,
        "Vvalley": float(np.mean([wave["v(d)"][a - 2] for a in rises])),
        "ton": float(np.mean([np.trapezoid(on[a:b], time[a:b]) for a, b in cycles])),
        "f_spread": float(np.std(periods) / np.mean(periods)),
    }
