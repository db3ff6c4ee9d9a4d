"""`logs.toml`: every fault with its line, all at once, and what is whole is kept."""

import pytest

from partingline.model import KeyPath
from partingline.readers.logs import read_catalogue

GOOD = """
[[log]]
file = "load.csv"
kind = "load sweep"
port = "C1"
offer = "20 V"
mains = "115 V"
frequency = "60 Hz"
ambient = "23.4 ± 0.5 °C"
full_load = "3.25 A"
columns = { time = "Time (s)", input_power = "Pin (W)" }
instruments = { input_power = "PA1", "C1/port_voltage" = "DM1" }

[[log]]
file = "share.csv"
kind = "Sharing"
ports = ["C1", "A1"]
mains = 230
columns = { "port_voltage A1" = "V2", "port:C1/port_voltage" = "V1", C1 = { output_current = "I1" } }
"""
FAULTS = {
    '[[log]]\nfile = "a.csv"\nkind = "load sweep"\nofer = "20 V"\n': (4, "unknown key 'ofer'", "Did you mean 'offer'?"),
    '[[log]]\nfile = "a.csv"\nkind = "lode sweep"\n': (3, "kind 'lode sweep'", "Did you mean 'load sweep'?"),
    '[[log]]\nfile = "a.csv"\nkind = "no load"\nmains = "twelve"\n': (4, "twelve", "Correct it."),
    '[[log]]\nfile = "a.csv"\nkind = "no load"\nmains = "3 A"\n': (4, "3 A", "Correct it."),
    '[[log]]\nfile = "../a.csv"\nkind = "no load"\n': (2, "leads out of logs/", "Copy the log into logs/."),
    '[[log]]\nkind = "no load"\n': (1, "a log without `file`", "Name the log's file."),
    '[[log]]\nfile = "a.csv"\n': (1, "a.csv: no `kind`", "Add it"),
    '[[log]]\nfile = "a.csv"\nkind = "no load"\ncolumns = { input_pover = "P" }\n': (
        4,
        "'input_pover'",
        "'input_power'",
    ),
    '[[log]]\nfile = "a.csv"\nkind = "no load"\ncolumns = "P"\n': (4, "'P'", "Write it in braces."),
    '[[log]]\nfile = "a.csv"\nkind = "no load"\nport = 1\n': (4, "1", "Put it in quotes."),
    '[log]\nfile = "a.csv"\nkind = "no load"\n': (1, "`log` is not a list of tables", "Write [[log]]."),
    '[[logs]]\nfile = "a.csv"\n': (1, "unknown key 'logs'", "Did you mean 'log'?"),
    '[[log]]\nfile = "a.csv"\nkind = "no load"\nport = "C1\n': (4, "not TOML", "the rest of the file is read."),
    '[[log]]\nfile = "a"\nkind = "no load"\n[[log]]\nfile = "a"\nkind = "no load"\n': (
        4,
        "a is listed twice",
        "Remove",
    ),
}


def test_entries_are_read() -> None:
    (load, share), problems = read_catalogue(GOOD, "logs/logs.toml", "00")
    assert problems == ()
    assert (load.offer_v, load.mains_v, load.frequency_hz, load.ambient_c, load.full_load_a) == (
        20,
        115,
        60,
        23.4,
        3.25,
    )
    assert load.ambient_u == pytest.approx(0.5)
    assert load.columns == {"time": "Time (s)", "input_power": "Pin (W)"}
    assert load.instruments == {"input_power": "PA1", "C1/port_voltage": "DM1"}
    assert load.evidence is not None
    assert load.evidence.place == KeyPath("log[0]", 2)
    assert (share.kind, share.ports, share.mains_v) == ("sharing", ("C1", "A1"), 230.0)
    assert share.columns == {"A1/port_voltage": "V2", "C1/port_voltage": "V1", "C1/output_current": "I1"}


@pytest.mark.parametrize("text", FAULTS)
def test_fault_is_told_with_its_line_and_the_next_step(text: str) -> None:
    line, found, step = FAULTS[text]
    _, problems = read_catalogue(text, "logs/logs.toml", "00")
    assert len(problems) == 1, [str(problem) for problem in problems]
    assert f"line {line}" in str(problems[0])
    assert found in problems[0].found
    assert step in problems[0].next_step


def test_faults_are_told_together_and_the_rest_is_kept() -> None:
    text = '[[log]]\nfile = "a.csv"\nkind = "no load"\nmains = "x"\nfoo = 1\nport = "C1"\n'
    (entry,), problems = read_catalogue(text, "logs/logs.toml", "00")
    assert len(problems) == 2
    assert (entry.file, entry.port, entry.mains_v) == ("a.csv", "C1", None)


def test_a_place_that_is_no_toml_loses_nothing_else() -> None:
    """The statement with the fault is left out and named; the logs before and after it stay."""
    text = GOOD.replace('offer = "20 V"', "offer = 20 V") + '\n[[log]]\nfile = "last.csv"\nkind = no load\n'
    entries, problems = read_catalogue(text, "logs/logs.toml", "00")
    assert [entry.file for entry in entries] == ["load.csv", "share.csv", "last.csv"]
    assert (entries[0].offer_v, entries[0].mains_v) == (None, 115.0)
    assert [str(problem.evidence) for problem in problems[:2]] == ["logs/logs.toml, line 6", "logs/logs.toml, line 23"]
