"""Write the invented unit into a folder: `python demo/make.py [FOLDER]`, by default `demo/tern-65`.

Two runs write the same bytes. Nothing of Partingline is used.
"""

import sys
from pathlib import Path

from model.bench import all_logs
from model.cc.recording import sigmf
from model.cc.talk import attach_talk
from model.parts import parts_csv
from model.photos import mainboard, outside
from model.photos.marks import marks_json
from model.unitfile import listing_md, logs_toml, unit_toml
from model.words import captions_vtt, narration_md


def main(folder: Path) -> None:
    """Write the whole unit folder."""
    logs = all_logs()
    texts = {"unit.toml": unit_toml(), "parts.csv": parts_csv(), "words/listing.md": listing_md()}
    texts |= {"words/narration.md": narration_md(), "words/captions.vtt": captions_vtt()}
    texts |= {f"logs/{log.file}": log.text for log in logs}
    texts["logs/logs.toml"] = logs_toml(logs)
    pictures = {
        "label.png": outside.label(),
        "body.jpg": outside.body(),
        "main-top.jpg": mainboard.top(),
        "main-bottom.jpg": mainboard.bottom(),
        "output-board.jpg": outside.output_board(),
    }
    texts["photos/marks.json"] = marks_json(pictures)
    meta, samples = sigmf(attach_talk())
    texts["captures/c1-attach.sigmf-meta"] = meta
    for name, text in texts.items():
        _write(folder / name, text.encode("utf-8"))
    _write(folder / "captures/c1-attach.sigmf-data", samples)
    for name, picture in pictures.items():
        _write(folder / "photos" / name, picture.finish(name))


def _write(path: Path, data: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent / "tern-65")
