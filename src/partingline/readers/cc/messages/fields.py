"""Bit fields and number text shared by all message objects."""

from __future__ import annotations


def bits(word: int, high: int, low: int) -> int:
    """The unsigned field `word[high..low]`, both ends included."""
    return (word >> low) & ((1 << (high - low + 1)) - 1)


def flag(word: int, position: int) -> bool:
    """One bit of `word` as a truth value."""
    return bool((word >> position) & 1)


def steps(value: float, step: float, width: int, what: str) -> int:
    """`value` counted in `step`, for a field `width` bits wide.

    Raises ValueError, naming `what`, when the value is not on a step or does not fit.
    """
    count = round(value / step)
    if abs(count * step - value) > 1e-6 * max(1.0, abs(value)):
        low, high = sorted((count * step, (count + (1 if value > count * step else -1)) * step))
        raise ValueError(
            f"{what} {number(value)} is not on a step of {number(step)}: use {number(low)} or {number(high)}"
        )
    if not 0 <= count < 1 << width:
        raise ValueError(f"{what} {number(value)} does not fit: expected 0 to {number(((1 << width) - 1) * step)}")
    return count


def number(value: float) -> str:
    """A number with at most three decimals and no trailing zeros: 3.25, 20, 0.08."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("", "-0") else text


def words_of(data: bytes) -> tuple[int, ...]:
    """The whole 32-bit little-endian words of `data`; a shorter tail is left out."""
    return tuple(int.from_bytes(data[i : i + 4], "little") for i in range(0, len(data) - 3, 4))
