"""The palette against WCAG 2.2 (success criteria 1.4.3 and 1.4.11; relative luminance as defined there)."""

import pytest

from partingline.model import Standing, Verdict
from partingline.publish.look import CURVES, DARK, GLYPHS, LIGHT, concrete, shape_of, token_of

TEXT = ("ink", "muted", "copper", "meets", "short", "undecided", "slate", "plum")


def luminance(colour: str) -> float:
    channels = [int(colour[start : start + 2], 16) / 255 for start in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_contrast_formula_gives_the_published_extremes() -> None:
    assert contrast("#ffffff", "#000000") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)


@pytest.mark.parametrize("tokens", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("ground", ["paper", "tint"])
@pytest.mark.parametrize("ink", TEXT)
def test_every_ink_is_legible_on_every_ground(tokens: dict[str, str], ground: str, ink: str) -> None:
    assert contrast(tokens[ink], tokens[ground]) >= 4.5


@pytest.mark.parametrize("ink", TEXT)
def test_every_ink_is_legible_on_white_paper(ink: str) -> None:
    assert contrast(LIGHT[ink], "#ffffff") >= 4.5


def test_both_palettes_have_the_same_tokens() -> None:
    assert LIGHT.keys() == DARK.keys()
    assert set(CURVES) <= LIGHT.keys()


def test_every_verdict_and_standing_has_a_shape_and_a_colour() -> None:
    for status in (*Verdict, *Standing):
        assert shape_of(status) in GLYPHS
        assert token_of(status) in LIGHT
    assert len({shape_of(verdict) for verdict in Verdict}) == len(Verdict)


def test_concrete_refuses_unknown_tokens() -> None:
    assert concrete('<a fill="var(--ink)"/>') == f'<a fill="{LIGHT["ink"]}"/>'
    with pytest.raises(KeyError, match="nosuch"):
        concrete("var(--nosuch)")
