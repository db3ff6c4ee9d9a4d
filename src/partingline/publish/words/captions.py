"""A script as a caption file: WebVTT or SubRip, cue by cue."""

from partingline.readers.words import Script


def captions_text(script: Script, *, form: str = "vtt", note: str = "") -> str:
    """The file's text. form: `vtt` or `srt`; ValueError for a script without times. A note is kept in WebVTT only."""
    if not script.timed:
        raise ValueError("the script has no times: expected WebVTT or SubRip; a plain text stays a plain text")
    blocks = ["WEBVTT" + (f"\n\nNOTE\n{note.replace('-->', '→')}" if note else "")] if form == "vtt" else []
    mark = "." if form == "vtt" else ","
    for number, cue in enumerate(script.cues, 1):
        times = f"{clock(cue.from_s or 0.0, mark)} --> {clock(cue.to_s or 0.0, mark)}"
        text = (
            cue.text.replace("&", "&amp;").replace("<", "&lt;")
            if form == "vtt" and "&amp;" not in cue.text
            else cue.text
        )
        blocks.append(f"{number}\n{times}\n{text}")
    return "\n\n".join(blocks) + "\n"


def clock(seconds: float, mark: str = ".") -> str:
    """`00:01:02.500`."""
    millis = round(seconds * 1000)
    hours, rest = divmod(millis, 3_600_000)
    minutes, rest = divmod(rest, 60_000)
    return f"{hours:02d}:{minutes:02d}:{rest // 1000:02d}{mark}{rest % 1000:03d}"
