"""A script as Markdown: shots, sentences with their facts, how figures are read, and the time against the target."""

from partingline.publish.script.draft import Draft, Line, Part


def script_markdown(script: Draft) -> str:
    """The file's text. Each sentence's facts stand in a comment behind it, so that it reads as plain text."""
    told = script.language
    lines = [f"# {script.unit}: {told('script')}", "", _total(script), ""]
    for part in script.parts:
        lines += _part(part)
    return "\n".join(lines) + "\n"


def _total(script: Draft) -> str:
    told = script.language
    time = told("reading_time", time=minutes(script.seconds), pace=f"{script.pace:g}")
    if script.target_s is None:
        return time
    off = script.seconds - script.target_s
    return f"{time}; {told('over' if off > 0 else 'under', time=minutes(abs(off)), target=minutes(script.target_s))}"


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
