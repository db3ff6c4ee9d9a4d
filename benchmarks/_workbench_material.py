"""What the workbench is measured with, made anew in a folder of its own; all of it invented.

A bench of the demonstration unit, a bench of two thousand small units, a photo of 24 megapixels, a recording of a
hundred million samples.
"""

import json
import shutil
from pathlib import Path

import numpy as np

DEMO = Path(__file__).parents[1] / "demo" / "tern-65"
UNITS = 2000
SAMPLES = 100_000_000
PHOTO = "large.jpg"
RECORDING = "long"
_SIDE = (6000, 4000)


def demo_bench(root: Path) -> Path:
    """A bench with the demonstration unit."""
    shutil.copytree(DEMO, root / "tern-65")
    return root


def large_bench(root: Path) -> Path:
    """A bench of small units, each with a label, a part list, a reading and a small photo."""
    from PIL import Image

    names = ("Alder", "Birch", "Cedar", "Elder", "Hazel", "Larch", "Maple", "Rowan")
    for number in range(UNITS):
        unit = root / f"unit-{number:04d}"
        (unit / "photos").mkdir(parents=True)
        watts = 20 + number % 80
        amperes = round(watts / 20, 2)
        (unit / "unit.toml").write_text(
            f'[unit]\nmaker = "Invented {names[number % 8]}"\nmodel = "{number:04d}"\nkind = "wall charger"\n'
            f'invented = true\n\n[label]\ntext = """\nINPUT: 100-240V~ 50/60Hz 1.5A\nOUTPUT C1: 20V⎓{amperes}A\n'
            f'C1: {watts}W Max\n"""\n\n[body]\nmass = "{60 + number % 90} ± 1 g"\n\n[[port]]\nid = "C1"\n'
            f'connector = "USB-C"\noffers = ["5V 3A", "20V {amperes}A"]\n',
            encoding="utf-8",
        )
        (unit / "parts.csv").write_text(
            "ref,stage,kind,marking\nC1,input,capacitor,474K X2\nF1,input,fuse,T2A 250V\n", encoding="utf-8"
        )
        colour = (40 + number % 200, 90, 200 - number % 150)
        Image.new("RGB", (320, 240), colour).save(unit / "photos" / "body.jpg", quality=80)
    return root


def add_photo(unit: Path) -> None:
    """A photo with detail at every scale, so that its tiles weigh what those of a real one do."""
    from PIL import Image

    width, height = _SIDE
    chance = np.random.default_rng(24)
    picture = np.zeros((height, width, 3), dtype=np.float32)
    for step in (500, 100, 20, 4):
        small = chance.normal(0, 28, (height // step, width // step, 3)).astype(np.float32)
        picture += np.repeat(np.repeat(small, step, axis=0), step, axis=1)
    shown = np.clip(picture + 120, 0, 255).astype(np.uint8)
    Image.fromarray(shown).save(unit / "photos" / PHOTO, quality=90)


def add_recording(unit: Path) -> None:
    """The demonstration's attach, then quiet until there are a hundred million samples of two channels (400 MB)."""
    name = "c1-attach.sigmf"
    meta = json.loads((DEMO / "captures" / f"{name}-meta").read_text(encoding="utf-8"))
    meta["global"].pop("core:sha512", None)
    data = np.fromfile(DEMO / "captures" / f"{name}-data", dtype="<i2").reshape(-1, 2)
    rest = np.resize(data[-(1 << 16) :], (1 << 20, 2))
    target = unit / "captures" / f"{RECORDING}.sigmf"
    with Path(f"{target}-data").open("wb") as out:
        out.write(data.tobytes())
        left = SAMPLES - len(data)
        while left > 0:
            out.write(rest[:left].tobytes())
            left -= len(rest)
    Path(f"{target}-meta").write_text(json.dumps(meta), encoding="utf-8")
