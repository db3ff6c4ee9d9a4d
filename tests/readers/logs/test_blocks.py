"""Large logs in blocks give what the same log gives as one text. The referee is the reading of small logs, and polars'
own parser is held against `numpy.loadtxt`'s."""

from pathlib import Path

import numpy as np
import pytest

from partingline.readers.logs import Log, LogEntry, blocks, read_log
from tests.readers.logs.sweeps import noisy_rows

pytest.importorskip("polars")


def both(path: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[Log, Log]:
    whole = read_log(path, LogEntry(file=path.name))
    monkeypatch.setattr(blocks, "LARGE", 0)
    monkeypatch.setattr(blocks, "BLOCK", 700)
    monkeypatch.setattr(blocks, "_TAIL", 200)
    return whole, read_log(path, LogEntry(file=path.name))


HEADS = {
    "elapsed": ("# made\nTime (s),Pin (W),Vout (mV),Iout (A)\n", lambda n: f"{n * 0.5:.1f}"),
    "iso": ("Time,Pin (W),Vout (mV),Iout (A)\n", lambda n: f"2026-10-02T10:{n // 60:02d}:{n % 60:02d}.250"),
    "epoch": ("Time,Pin (W),Vout (mV),Iout (A)\n", lambda n: f"{1790000000 + n}"),
}


@pytest.mark.parametrize("head", HEADS)
@pytest.mark.parametrize("fault", ["", "OL", "abc", "torn", "blank", "twice", "out of order"])
def test_blocks_give_what_the_whole_gives(
    head: str, fault: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    top, stamp = HEADS[head]
    lines = [f"{stamp(n)},{power:.3f},{volts:.1f},{amps:.4f}" for n, power, volts, amps in noisy_rows(200)]
    if fault in ("OL", "abc"):
        lines[120] = lines[120].rsplit(",", 1)[0] + f",{fault}"
    elif fault == "torn":
        lines[120] = lines[120].rsplit(",", 1)[0]
    elif fault == "blank":
        lines.insert(120, "")
    elif fault == "twice":
        lines.insert(120, lines[119])
    elif fault == "out of order":
        lines[119], lines[120] = lines[120], lines[119]
    (tmp_path / "a.csv").write_text(top + "\n".join(lines) + "\n")
    whole, pieces = both(tmp_path / "a.csv", monkeypatch)
    assert pieces.sha256 == whole.sha256
    assert pieces.start == whole.start
    np.testing.assert_array_equal(pieces.rows, whole.rows)
    np.testing.assert_allclose(pieces.time_s, whole.time_s, atol=2e-6)
    assert pieces.series.keys() == whole.series.keys()
    for key, values in whole.series.items():
        np.testing.assert_array_equal(pieces.series[key], values)
    assert [str(problem) for problem in pieces.problems] == [str(problem) for problem in whole.problems]


def test_decimal_comma_in_blocks(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    rows = [f"{n / 2:.1f};{p:.3f};{v / 1000:.4f}".replace(".", ",") for n, p, v, _ in noisy_rows(100)]
    (tmp_path / "a.csv").write_text("Zeit (s);Pin (W);Vout (V)\n" + "\n".join(rows))
    whole, pieces = both(tmp_path / "a.csv", monkeypatch)
    for key, values in whole.series.items():
        np.testing.assert_array_equal(pieces.series[key], values)


def test_times_of_day_are_refused_with_a_next_step(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    rows = [f"10:00:{n:02d},{n}" for n in range(50)]
    (tmp_path / "a.csv").write_text("Time,Pin (W)\n" + "\n".join(rows) + "\n")
    _, pieces = both(tmp_path / "a.csv", monkeypatch)
    assert any("10:00:00" in p.found and "elapsed seconds" in p.next_step for p in pieces.problems)
