"""The scale card: eight fiducial markers about an open middle, at true size. Places in millimetres.

Markers are ids 0 to 7 of the open 4 × 4 dictionary of 50 (OpenCV's DICT_4X4_50). The middle is where the board lies.
"""

from dataclasses import dataclass

MARKER = 12.0
WIDTH, HEIGHT = 140.0, 110.0
CHECK = 100.0
"""Length of the line by which a print is checked."""
PRINT_U = 0.0015
"""Standard uncertainty of the printed size, relative: a rule with half-millimetre marks held to the check line."""
_BITS = (
    "1011010100110010", "0000111110011010", "0011001100101101", "1001100101000110",
    "0101010010011110", "0111100111001101", "1001111000101110", "1100010011110010",
)  # fmt: skip
_CORNERS = (
    (0.0, 0.0), (64.0, 0.0), (128.0, 0.0), (0.0, 49.0), (128.0, 49.0), (0.0, 98.0), (64.0, 98.0), (128.0, 98.0),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Marker:
    """One marker: its id, the upper left corner, and its dark cells (x, y, side), the border among them."""

    id: int
    x: float
    y: float
    cells: tuple[tuple[float, float, float], ...]

    @property
    def corners(self) -> tuple[tuple[float, float], ...]:
        """Upper left, upper right, lower right, lower left."""
        far = MARKER
        return (self.x, self.y), (self.x + far, self.y), (self.x + far, self.y + far), (self.x, self.y + far)


def markers() -> tuple[Marker, ...]:
    """All markers of the card."""
    return tuple(_marker(number, x, y) for number, (x, y) in enumerate(_CORNERS))


def _marker(number: int, x: float, y: float) -> Marker:
    side = MARKER / 6
    bits = _BITS[number]
    cells = tuple(
        (x + column * side, y + row * side, side)
        for row in range(6)
        for column in range(6)
        if not (1 <= row <= 4 and 1 <= column <= 4) or bits[(row - 1) * 4 + column - 1] == "0"
    )
    return Marker(number, x, y, cells)
