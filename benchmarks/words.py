"""How well the words check finds slips, on invented narrations: `python benchmarks/words.py [tune-hand] [--list]`.

Prints, for the narrations that the check was written with (`tune`) and those never used for it (`held`), by hand and
drawn: planted figures, precision and recall of 'differs / wrong unit', binding accuracy; and the time for half an hour
of captions.
"""

import sys
import tempfile
import time
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from tests.words.corpus import narrations
from tests.words.narration import Narration, Planted

from partingline.facts.opened import open_unit
from partingline.facts.spoken import Class, Spoken, check_words
from partingline.readers.words import read_script

_COUNTED = (Class.AGREES, Class.DIFFERS)


@dataclass
class Score:
    """Counts over narrations; `misses` are lines that say what went wrong."""

    planted: int = 0
    wrong: int = 0
    found: int = 0
    false: int = 0
    bound: int = 0
    kinds: Counter[str] = field(default_factory=Counter)
    misses: list[str] = field(default_factory=list)

    @property
    def precision(self) -> float:
        """Share of reported slips that are slips."""
        return self.found / max(self.found + self.false, 1)

    @property
    def recall(self) -> float:
        """Share of the planted slips that were reported."""
        return self.found / max(self.wrong, 1)

    @property
    def binding(self) -> float:
        """Share of the planted figures that were bound to their fact."""
        return self.bound / max(self.planted, 1)


def score(part: str, variant: int = 0) -> Score:
    """Check every narration of a part."""
    total = Score()
    with tempfile.TemporaryDirectory() as folder:
        for narration in narrations(part, Path(folder), variant):
            _add(total, narration)
    return total


def _add(total: Score, narration: Narration) -> None:
    opened = open_unit(narration.unit.folder)
    script = read_script(narration.text, narration.file_name)
    checked = check_words(opened.unit, opened.book.facts(), script)
    used: set[int] = set()
    for planted in narration.planted:
        here = [n for n, one in enumerate(checked.spoken) if _overlap(one, planted)]
        used |= set(here)
        _judge(total, narration, planted, [checked.spoken[n] for n in here])
    for n, one in enumerate(checked.spoken):
        if one.class_.is_slip and n not in used:
            total.false += 1
            total.misses.append(f"{narration.name}: false, no figure of ours: {_told(one)} in '{one.sentence}'")


def _overlap(one: Spoken, planted: Planted) -> bool:
    return one.figure.start < planted.end and planted.start < one.figure.end


def _judge(total: Score, narration: Narration, planted: Planted, here: list[Spoken]) -> None:
    total.planted += 1
    slip = any(one.class_.is_slip for one in here)
    bound = any(one.fact is not None and planted.fits(one.fact.key.id) for one in here)
    bound |= planted.counts and any(one.figure.kind == "count" and one.class_ in _COUNTED for one in here)
    total.bound += bound
    where = f"{narration.name} {planted.name} '{planted.said}' -> {'; '.join(map(_told, here)) or 'not seen'}"
    if planted.error:
        total.wrong += 1
        total.kinds[planted.error] += 1
        total.found += slip
        if not slip:
            total.misses.append(f"missed ({planted.error}) {where}")
    elif slip:
        total.false += 1
        total.misses.append(f"false {where}")
    if not bound:
        total.misses.append(f"binding {where}")


def _told(one: Spoken) -> str:
    return f"{one.class_.value} {one.fact.key.id if one.fact else '-'}"


def long_captions(minutes: int = 30) -> str:
    """Captions of a length, from the demonstration unit's own words over and over."""
    from partingline.publish.words.captions import clock

    demo = Path(__file__).parents[1] / "demo" / "tern-65" / "words" / "captions.vtt"
    cues = read_script(demo.read_text(encoding="utf-8"), demo.name).cues
    blocks = ["WEBVTT"]
    for n in range(minutes * 20):
        blocks.append(f"{clock(3.0 * n)} --> {clock(3.0 * n + 3)}\n{cues[n % len(cues)].text}")
    return "\n\n".join(blocks) + "\n"


def main() -> None:
    """Print the scores."""
    parts = [arg for arg in sys.argv[1:] if not arg.startswith("-")]
    for part in parts or ["tune-hand", "tune-drawn", "held-hand", "held-drawn", "tune", "held"]:
        for variant in range(3 if part.endswith("drawn") else 1):
            result = score(part, variant)
            name = f"{part} {variant}" if part.endswith("drawn") else part
            print(f"{name}: {result.planted} figures, {result.wrong} wrong {dict(result.kinds)};", end=" ")
            print(f"precision {result.precision:.3f}, recall {result.recall:.3f}, binding {result.binding:.3f}")
            if "--list" in sys.argv:
                print("\n".join(result.misses))
    demo = Path(__file__).parents[1] / "demo" / "tern-65"
    if (demo / "words" / "captions.vtt").exists():
        opened = open_unit(demo)
        facts, text = opened.book.facts(), long_captions()
        start = time.process_time()
        checked = check_words(opened.unit, facts, read_script(text, "long.vtt"))
        seconds = time.process_time() - start
        words = len(checked.script.text.split())
        print(
            f"30 minutes of captions: {words} words, {len(checked.spoken)} figures in {seconds:.2f} s of processor time"
        )


if __name__ == "__main__":
    main()
