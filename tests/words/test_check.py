"""The words check on the corpus of invented narrations, and on the demonstration unit's two planted slips."""

import sys
import time
from pathlib import Path

import pytest

from partingline.facts.opened import Opened
from partingline.facts.spoken import Class, check_words
from partingline.model import Route, Standing
from partingline.publish.words import captions_text, corrected_script, words_record
from partingline.readers.words import read_script

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "benchmarks"))
CAPTIONS = ROOT / "demo" / "tern-65" / "words" / "captions.vtt"


@pytest.mark.parametrize("part", ["tune", "held"])
def test_slips_are_found_in_the_corpus(part: str) -> None:
    """At least 900 planted figures each, a quarter of them wrong; those held out were never used to write the check."""
    from words import score

    result = score(part)
    assert result.planted >= 900
    assert 0.2 < result.wrong / result.planted < 0.3
    assert result.precision >= 0.95, "\n".join(result.misses)
    assert result.recall >= 0.90, "\n".join(result.misses)
    assert result.binding >= 0.95, "\n".join(result.misses)


def test_the_two_planted_slips_and_no_other(demo: Opened) -> None:
    checked = check_words(demo.unit, demo.book.facts(), read_script(CAPTIONS.read_text("utf-8"), CAPTIONS.name))
    told = [(one.class_, one.figure.words, one.fact.key.id if one.fact else "", one.instead) for one in checked.slips]
    assert told == [
        (Class.DIFFERS, "three amps", "port:C1/available_current@offer=15", "two point four amps"),
        (Class.WRONG_UNIT, "twenty seven millifarads", "part:C3/capacitance", "twenty seven microfarads"),
    ]
    assert not any(one.class_ in (Class.UNCLEAR, Class.UNSUPPORTED) for one in checked.spoken)


def test_spoken_statements_join_the_facts_and_are_never_preferred(demo: Opened) -> None:
    spoken = [fact for fact in demo.book.facts() if any(s.route is Route.SPOKEN for s in fact.statements)]
    assert len(spoken) >= 20
    for fact in spoken:
        assert fact.preferred.route is not Route.SPOKEN
    slipped = {
        fact.key.id
        for fact in spoken
        for statement, standing in zip(fact.statements, fact.standings, strict=True)
        if statement.route is Route.SPOKEN and standing is Standing.CONTRADICTED
    }
    assert slipped == {"part:C3/capacitance", "port:C1/available_current@offer=15"}


def test_corrected_captions_keep_their_times_and_have_no_slip(demo: Opened) -> None:
    script = read_script(CAPTIONS.read_text("utf-8"), CAPTIONS.name)
    corrected = corrected_script(check_words(demo.unit, demo.book.facts(), script))
    again = read_script(captions_text(corrected), "captions.vtt")
    assert [(cue.from_s, cue.to_s) for cue in again.cues] == [(cue.from_s, cue.to_s) for cue in script.cues]
    changed = [(a.text, b.text) for a, b in zip(script.cues, again.cues, strict=True) if a.text != b.text]
    assert len(changed) == 2
    assert not check_words(demo.unit, demo.book.facts(), again).slips
    assert read_script(captions_text(corrected, form="srt"), "c.srt").text == again.text


def test_half_an_hour_of_captions_in_a_second(demo: Opened) -> None:
    from words import long_captions

    facts, text = demo.book.facts(), long_captions(30)
    start = time.process_time()
    checked = check_words(demo.unit, facts, read_script(text, "long.vtt"))
    assert len(checked.spoken) > 500
    assert time.process_time() - start < 1.0


def test_the_record_is_plain_json(demo: Opened) -> None:
    import json

    record = words_record(
        check_words(demo.unit, demo.book.facts(), read_script("It weighs 181 grams. C3 has 27 µF.", "t.txt")),
        "u",
        "t.txt",
    )
    told = json.loads(json.dumps(record))
    assert [(f["says"], f["fact"]["id"]) for f in told["figures"]] == [
        ("differs", "unit/mass"), ("agrees", "part:C3/capacitance"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("sentence", "class_", "fact"),
    [
        ("The line frequency is fifty volts.", Class.WRONG_UNIT, "unit/rated_input_frequency"),
        ("C3 is rated forty volts.", Class.DIFFERS, "part:C3/rated_voltage"),
        ("The output shunt is five millivolts.", Class.WRONG_UNIT, "part:R30/resistance"),
        ("The primary controller is an NQ56A.", Class.DIFFERS, "part:U1/part_number"),
        ("The label says 15 volts at 3 amps.", Class.AGREES, "port:C1/available_current@offer=15"),
        ("It took 40 minutes to open.", Class.UNSUPPORTED, ""),
        ("Both bulk capacitors are 105 degree parts.", Class.AGREES, "part:C3/rated_temperature"),
        ("The charger has three ports.", Class.DIFFERS, ""),
        ("It carries level five.", Class.DIFFERS, "unit/efficiency_mark"),
    ],
)
def test_the_ways_in_which_figures_go_wrong(demo: Opened, sentence: str, class_: Class, fact: str) -> None:
    checked = check_words(demo.unit, demo.book.facts(), read_script(sentence, "t.txt"))
    told = [
        (one.class_, one.fact.key.id if one.fact else "") for one in checked.spoken if one.class_ is not Class.CONDITION
    ]
    assert (class_, fact) in told, told


@pytest.mark.parametrize(
    "text",
    [
        "",
        "WEBVTT\n\n00:01 --> nonsense\nhi",
        "1\n00:00:01,000 --> 00:00:02,000\n\n",
        "\ufeffWEBVTT\n\n" + "9" * 4000,
        "± ± 5 ±",
        "-- 3 --> 4",
    ],
)
def test_nothing_breaks_the_reader(demo: Opened, text: str) -> None:
    check_words(demo.unit, demo.book.facts(), read_script(text, "t.vtt"))


def test_what_is_said_changes_no_finding_and_no_lead(demo: Opened, tmp_path: Path) -> None:
    """Wild captions beside none: the same findings, the same first sentence; only the route table tells."""
    import shutil

    from partingline.facts.opened import open_unit
    from partingline.findings import Case, run
    from partingline.publish.compose import compose

    told = []
    for name, said in (
        ("quiet", None),
        ("wild", "The output power of C1 is 38 watts. It weighs 9000 grams. C3 has 27 farads."),
    ):
        folder = tmp_path / name
        shutil.copytree(ROOT / "demo" / "tern-65", folder)
        captions = folder / "words" / "captions.vtt"
        captions.unlink()
        (folder / "words" / "narration.md").unlink()
        if said:
            captions.write_text(f"WEBVTT\n\n00:00.000 --> 00:09.000\n{said}\n", encoding="utf-8")
        opened = open_unit(folder)
        findings = run(Case(opened.unit, opened.book, captures=opened.captures))
        told.append(([(f.rule, f.verdict, f.text) for f in findings], compose(opened, findings).lead))
        wrong = [f for f in opened.book.facts() if any(s.route is Route.SPOKEN for s in f.statements)]
        assert len(wrong) == (3 if said else 0)
    assert told[0] == told[1]
