"""Dialects of instruments. Formats: ISO 8601, Unicode byte-order marks and the Unix epoch are standards; the dialects
themselves are trade habit (common practice, no source).
"""

from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from partingline.readers.logs import Log, LogEntry, read_log
from partingline.readers.logs.columns import split_header

HEADERS = {
    "Pin (W)": ("Pin", "W"),
    "Vout [mV]": ("Vout", "mV"),
    "I_out/A": ("I_out", "A"),
    "Vout_mV": ("Vout", "mV"),
    "t, s": ("t", "s"),
    "CH3 top face_°C": ("CH3 top face", "°C"),
    "Voltage (VAC)": ("Voltage ac", "V"),
    "Status": ("Status", ""),
    "V_in": ("V_in", ""),
    "Voltage (C1)": ("Voltage (C1)", ""),
}
NAMED = {
    "Pin (W)": ("input_power", ""),
    "P_in [mW]": ("input_power", ""),
    "Input Power/W": ("input_power", ""),
    "Pac_W": ("input_power", ""),
    "Eingangsleistung": ("input_power", ""),
    "Ausgangsstrom [A]": ("output_current", ""),
    "Leistung Netz [W]": ("input_power", ""),
    "Vin": ("input_voltage", ""),
    "Urms (V)": ("input_voltage", ""),
    "Spannung Eingang [V]": ("input_voltage", ""),
    "mains voltage": ("input_voltage", ""),
    "Iin (mA)": ("input_current", ""),
    "line current (A)": ("input_current", ""),
    "PF": ("power_factor", ""),
    "Power factor": ("power_factor", ""),
    "lambda": ("power_factor", ""),
    "Vout (V)": ("port_voltage", ""),
    "VBUS": ("port_voltage", ""),
    "Vbus_C1 (V)": ("port_voltage", ""),
    "Voltage DC (V)": ("port_voltage", ""),
    "Iout (A)": ("output_current", ""),
    "load current": ("output_current", ""),
    "Iload (A)": ("output_current", ""),
    "I A1 (A)": ("output_current", "A1"),
    "Pout (W)": ("output_power", ""),
    "T_amb (°C)": ("ambient_temperature", ""),
    "Room temperature [°C]": ("ambient_temperature", ""),
    "T_case (°C)": ("surface_temperature", ""),
    "CH2 front face_°C": ("surface_temperature", "front"),
    "T_Q1 (°C)": ("part_temperature", "Q1"),
    "Iset (A)": ("", ""),
    "Vpk (V)": ("", ""),
    "S (VA)": ("", ""),
    "Elapsed Time": ("time", ""),
    "Zeit [s]": ("time", ""),
    "Timestamp": ("time", ""),
}


def written(folder: Path, text: str | bytes, **entry: object) -> Log:
    """The log of a text, read."""
    (folder / "a.csv").write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_log(folder / "a.csv", LogEntry(file="a.csv", **entry))  # type: ignore[arg-type]


@pytest.mark.parametrize("header", HEADERS)
def test_header_is_split_into_name_and_unit(header: str) -> None:
    assert split_header(header) == HEADERS[header]


@pytest.mark.parametrize("header", NAMED)
def test_column_is_recognised_by_name_and_unit(header: str, tmp_path: Path) -> None:
    log = written(tmp_path, f"row;{header}\n1;1.5\n2;1.6\n3;1.7\n", port="C1")
    column = log.columns[1]
    assert (column.quantity, column.channel) == NAMED[header]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
@pytest.mark.parametrize("newline", ["\n", "\r\n", "\r"])
def test_encodings_and_line_ends(encoding: str, newline: str, tmp_path: Path) -> None:
    text = newline.join(["Zeit [s];Gehäuse (°C)", "0;23,5", "1;24,25", "2;25,0", ""])
    log = written(tmp_path, text.encode(encoding))
    assert log.values("surface_temperature") is not None
    assert log.series["surface_temperature", ""].tolist() == [23.5, 24.25, 25.0]
    assert log.problems == ()


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_delimiters(delimiter: str, tmp_path: Path) -> None:
    rows = [["Time (s)", "Pin (W)", "PF"], ["0", "72.2", "0.6"], ["1", "72.3", "0.6"], ["2", "72.4", "0.6"]]
    log = written(tmp_path, "\n".join(delimiter.join(row) for row in rows))
    assert (log.delimiter, log.decimal) == (delimiter, ".")
    assert log.series["input_power", ""].tolist() == [72.2, 72.3, 72.4]


def test_quoted_decimal_commas_between_commas(tmp_path: Path) -> None:
    log = written(tmp_path, 'Time (s),Pin (W)\n"0,0","72,25"\n"1,0","72,5"\n"2,0","1.072,5"\n')
    assert log.decimal == ","
    assert log.series["input_power", ""].tolist() == [72.25, 72.5, 1072.5]


def test_preamble_units_row_and_rows_of_the_file(tmp_path: Path) -> None:
    text = "Recorder 5\nSerial;12\n\nTime;P in;V out\ns;mW;mV\n\n0;98,5;5000\n1;98,7;5001\n2;98,6;5002\n"
    log = written(tmp_path, text)
    assert log.header_row == 4
    assert log.rows.tolist() == [7, 8, 9]
    assert log.series["input_power", ""] == pytest.approx([0.0985, 0.0987, 0.0986])
    assert log.series["port_voltage", ""] == pytest.approx([5.0, 5.001, 5.002])
    assert log.column("input_power").step == pytest.approx(1e-4)


STAMPS = {
    "elapsed": (["0", "0.5", "1.0"], "Time (s)"),
    "milliseconds": (["0", "500", "1000"], "t (ms)"),
    "minutes": (["0", "0.00833333333", "0.01666666667"], "t (min)"),
    "iso": (["2026-10-02T10:00:00", "2026-10-02T10:00:00.5", "2026-10-02T10:00:01"], "Time"),
    "iso blank": (["2026-10-02 10:00:00.000", "2026-10-02 10:00:00.500", "2026-10-02 10:00:01.000"], "Time"),
    "iso Z": (["2026-10-02T10:00:00Z", "2026-10-02T10:00:00.5Z", "2026-10-02T10:00:01Z"], "Time"),
    "iso zone": (["2026-10-02T12:00:00+02:00", "2026-10-02T12:00:00.5+02:00", "2026-10-02T12:00:01+02:00"], "Time"),
    "iso two zones": (["2026-10-02T12:00:00+02:00", "2026-10-02T10:00:00.5Z", "2026-10-02T10:00:01Z"], "Time"),
    "epoch s": (["1790935200", "1790935200.5", "1790935201"], "Time"),
    "epoch ms": (["1790935200000", "1790935200500", "1790935201000"], "Time"),
    "epoch us": (["1790935200000000", "1790935200500000", "1790935201000000"], "Time"),
    "german": (["02.10.2026 10:00:00", "02.10.2026 10:00:00.5", "02.10.2026 10:00:01"], "Zeit"),
    "american": (["10/13/2026 10:00:00 AM", "10/13/2026 10:00:00.5 AM", "10/13/2026 10:00:01 AM"], "Time"),
    "time of day": (["10:00:00", "10:00:00.5", "10:00:01"], "Clock"),
    "over midnight": (["23:59:59.5", "00:00:00", "00:00:00.5"], "Time"),
    "no header word": (["10:00:00", "10:00:00.5", "10:00:01"], "A"),
}


@pytest.mark.parametrize("name", STAMPS)
def test_time_stamps(name: str, tmp_path: Path) -> None:
    cells, header = STAMPS[name]
    log = written(tmp_path, "\n".join([f"{header};Pin (W)", *(f"{cell};{n}.5" for n, cell in enumerate(cells))]))
    assert log.time_s == pytest.approx([0.0, 0.5, 1.0], abs=1e-5)
    assert log.problems == ()


def test_epoch_and_iso_name_the_same_moment(tmp_path: Path) -> None:
    epoch = written(tmp_path, "Time;Pin (W)\n1790935200;1\n1790935201;1\n1790935202;1\n").start
    iso = written(tmp_path, "Time;Pin (W)\n2026-10-02T12:00:00+02:00;1\n2026-10-02T12:00:01+02:00;1\n").start
    assert epoch == iso == datetime(2026, 10, 2, 10, tzinfo=UTC)


def test_date_and_time_in_two_columns(tmp_path: Path) -> None:
    rows = [f"2026-10-02,23:59:5{n},1.{n}" for n in (8, 9)] + ["2026-10-03,00:00:00,1.5"]
    log = written(tmp_path, "\n".join(["Date,Time,Pin (W)", *rows]))
    assert log.time_s.tolist() == [0.0, 1.0, 2.0]


def test_rows_are_sorted_by_time_and_keep_their_numbers(tmp_path: Path) -> None:
    log = written(tmp_path, "Time (s),Pin (W)\n0,1\n1,2\n3,4\n2,3\n3,4\n4,5\n")
    assert log.time_s.tolist() == [0, 1, 2, 3, 4]
    assert log.series["input_power", ""].tolist() == [1, 2, 3, 4, 5]
    assert log.rows.tolist() == [2, 3, 5, 4, 7]
    assert {problem.found.split(" (")[0] for problem in log.problems} == {
        "rows that were recorded twice",
        "rows out of order",
    }


def test_equal_stamps_with_other_readings_are_kept(tmp_path: Path) -> None:
    log = written(tmp_path, "Time,Pin (W)\n10:00:00,1\n10:00:00,2\n10:00:01,3\n10:00:01,4\n")
    assert log.series["input_power", ""].tolist() == [1, 2, 3, 4]


def test_kelvin_fahrenheit_and_units_in_cells(tmp_path: Path) -> None:
    log = written(
        tmp_path, "t (s);T_case (°F);T_amb (K);Pin (W)\n0;212;296.65;950 mW\n1;212;296.65;1 W\n2;212;297;1.0\n"
    )
    assert log.series["surface_temperature", ""] == pytest.approx([100.0] * 3)
    assert log.series["ambient_temperature", ""][0] == pytest.approx(23.5)
    assert log.series["input_power", ""] == pytest.approx([0.95, 1.0, 1.0])


def test_ports_are_channels_and_pins_win(tmp_path: Path) -> None:
    head = "t (s);U1 [V];Vbus C1 (V);Vbus A1 (V);Iout1 (A);Iout2 (A)"
    text = head + "\n0;115;20;9;2.25;2\n1;115;20;9;2.25;2\n2;115;20;9;2.25;2\n"
    log = written(tmp_path, text, port="C1+A1", columns={"input_voltage": "U1 [V]"})
    assert log.channels("port_voltage") == ("", "A1")
    assert log.channels("output_current") == ("", "A1")
    assert log.series["input_voltage", ""].tolist() == [115.0] * 3
    assert log.column("input_voltage").how == "pinned"


def test_undirected_columns_are_settled_by_level_and_told(tmp_path: Path) -> None:
    log = written(tmp_path, "t (s);P (W);U (V);I (A)\n0;70;229;0.6\n1;70;230;0.6\n2;70;230;0.6\n", kind="no load")
    assert {key[0] for key in log.series} == {"input_power", "input_voltage", "input_current"}
    assert sum("does not tell its side" in problem.found for problem in log.problems) == 3


def test_reading_is_independent_of_dialect(tmp_path: Path) -> None:
    """One record in two dialects gives the same numbers."""
    rng = np.random.default_rng(1)
    power = np.round(72 + rng.standard_normal(500), 3)
    plain = "\n".join(["Time (s),Pin (W)", *(f"{n},{p:.3f}" for n, p in enumerate(power))])
    comma = "\n".join(["Zeit [s];Pin [W]", *(f"{n};{p:.3f}".replace(".", ",") for n, p in enumerate(power))])
    first, second = written(tmp_path, plain), written(tmp_path, comma)
    assert np.array_equal(first.series["input_power", ""], power)
    assert np.array_equal(second.series["input_power", ""], power)
