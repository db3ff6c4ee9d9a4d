"""Text to tokens: numbers, words and signs with their places. Nothing is changed; `27µF` becomes two tokens."""

import re

from partingline.readers.words.types import Token

_TOKEN = re.compile(
    r"\d+(?:[.,]\d+)*(?![.,]?\d)|[A-Za-zµμΩÄÖÜäöüß°%℃²³]+(?:['’][a-z]+)?|[^\sA-Za-z0-9]",
)


def tokens_of(text: str) -> tuple[Token, ...]:
    """All tokens of a text in order."""
    return tuple(Token(m.group(), m.group().lower().replace("’", "'"), *m.span()) for m in _TOKEN.finditer(text))


def glued(tokens: tuple[Token, ...], at: int) -> bool:
    """Whether a token follows the one before it without a space."""
    return 0 < at < len(tokens) and tokens[at - 1].end == tokens[at].start
