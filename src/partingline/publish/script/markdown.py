"""A script as Markdown: shots, sentences with their facts, how figures are read, and the time against the target."""

from partingline.publish.script.draft import Draft, Line, Part


def script_markdown(script: Draft) -> str:
    """The file's text. Each sentence's facts stand in a comment behind it, so that it reads as plain text."""
    lines = [f"# {script.unit}: script", "", _total(script), ""]
    for part in script.parts:
        lines += _part(part)
    return "\n".join(lines) + "\n"


def _total(script: Draft) -> str:
    told = f"Reading time {minutes(script.seconds)} at {script.pace:g} words a minute"
    if script.target_s is None:
        return told + "."
    off = script.seconds - script.target_s
    word = "over" if off > 0 else "under"
    return f"{told}; target {minutes(script.target_s)}: {minutes(abs(off))} {word}."


def _part(part: Part) -> list[str]:
    lines = [f"## {part.title}", "", f"<!-- reading time {minutes(part.seconds)} -->"]
    for shot in part.shots:
        behind = " ".join(filter(None, (shot.photo, shot.subject)))
        lines.append(f"<!-- shot: {shot.text}{f' ({behind})' if behind else ''} -->")
    lines.append("")
    for line in part.lines:
        lines += _line(line)
    return [*lines, ""]


def _line(line: Line) -> list[str]:
    lines = [line.text]
    if line.facts:
        lines.append(f"<!-- facts: {', '.join(key.id for key in line.facts)} -->")
    if line.aloud != line.text:
        lines.append(f"<!-- read: {line.aloud} -->")
    return lines


def minutes(seconds: float) -> str:
    """`3:05`."""
    whole = round(seconds)
    return f"{whole // 60}:{whole % 60:02d}"
