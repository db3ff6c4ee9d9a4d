"""Printed characters made alike, one for one, so that places in the label stay the same."""

_FULL_WIDTH = {code: code - 0xFEE0 for code in range(0xFF01, 0xFF5F)}
_LIKE = {
    "\u3000": " ", "\u00a0": " ", "\u2009": " ", "\u202f": " ", "\t": " ",
    "：": ":", "，": ",", "、": ",", "；": ";", "（": "(", "）": ")", "／": "/", "＋": "+", "。": ".",
    "∼": "~", "∽": "~", "～": "~", "〜": "~", "−": "-", "‐": "-", "‑": "-", "‒": "-",
    "⎓": "⎓", "⎯": "⎓", "⩵": "=", "＝": "=", "二": "=", "┅": "⎓", "┉": "⎓", "…": "…",
    "Ⅴ": "V", "Ⅵ": "Ⅵ", "Ω": "Ω", "μ": "µ", "＆": "&",
}  # fmt: skip
_TABLE: dict[int, int | str] = {**_FULL_WIDTH, **{ord(printed): like for printed, like in _LIKE.items()}}


def alike(line: str) -> str:
    """The line with full-width letters, dashes, spaces and direct-current signs made plain; of the same length."""
    return line.translate(_TABLE)
