"""Whether true distances lie in the stated 95 % interval as often as that says: card, rule, coin, plug, and heights.

Photos are rendered with known geometry under random cameras (tilt to 35 degrees, lens, blur, noise, JPEG); `rendering`
shares nothing with the code under test. Who points is a sub-pixel search, or a person with the scatter that is stated.
"""

import itertools
import math
import random
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest

cv2 = pytest.importorskip("cv2")

from partingline.readers.photos.lone import Reference, reference_scale  # noqa: E402
from partingline.readers.photos.markers import card_scale  # noqa: E402
from partingline.readers.photos.scale import Scale, camera_scale, with_sharpness  # noqa: E402
from partingline.readers.photos.sharpness import edge_width  # noqa: E402
from tests.readers.photos.rendering import TARGETS, Pose, Shot, drawing, point_at, pose, shoot  # noqa: E402

PAIRS = list(itertools.combinations(range(len(TARGETS)), 2))
SEARCHED_PX = 0.034
"""Scatter of the sub-pixel search about the truth in these renders."""
PRINT_U = 0.0015
MANY = range(1000, 1500)


def _by_card(seeds: range) -> dict[str, list[float]]:
    """Errors over stated uncertainties, by the card: as printed, of a true print, and of what lies above it."""
    canvas = drawing()
    found: dict[str, list[float]] = {"as printed": [], "true print": [], "above": []}
    for seed in seeds:
        shot, dice = shoot(canvas, seed), random.Random(f"card {seed}")
        told = card_scale(shot.image, focal_35mm=shot.pose.focal_35mm * math.exp(dice.gauss(0, 0.03)), relative_u=0.0)
        true = replace(told, pointing_px=SEARCHED_PX)
        printed = replace(camera_scale(true.camera, relative_u=PRINT_U), pointing_px=SEARCHED_PX)
        larger, points = 1 + dice.gauss(0, PRINT_U), point_at(shot.image, shot.targets)
        for one, other in PAIRS:
            ends, length = [tuple(points[one]), tuple(points[other])], math.dist(TARGETS[one], TARGETS[other]) * 1e-3
            read = true.measure(ends)
            assert abs(read.length - length) < 0.5e-3
            found["true print"].append((read.length - length) / read.u)
            read = printed.measure(ends)
            found["as printed"].append((read.length - larger * length) / read.u)
        for height in (1.6, 8.0, 12.0):
            found["above"].append(_raised(shot, told, height, dice))
    return found


def _raised(shot: Shot, scale: Scale, height: float, dice: random.Random) -> float:
    """What lies 1.6 mm above the card, as a board does, and more; a person says how much, to a tenth of it."""
    ends = _anywhere(dice)
    pixels = _pointed(shot.pose.seen(ends, height), scale.pointing_px, dice)
    found = scale.measure(pixels, height=dice.gauss(height, 0.1 * height) * 1e-3, height_u=0.1 * height * 1e-3)
    return (found.length - math.dist(*ends) * 1e-3) / found.u


def _rule(shot: Pose, dice: random.Random) -> Iterator[tuple[float, float]]:
    """A line of 50 mm along a rule; of half the pictures the focal length is told."""
    line = np.array([(20.0, 20.0), (70.0, 20.0)])
    yield from _lone(shot, dice, Reference(_pointed(shot.seen(line), 0.7, dice), 50e-3))


def _tilted_rule(shot: Pose, dice: random.Random) -> Iterator[tuple[float, float]]:
    line = np.array([(20.0, 20.0), (70.0, 20.0)])
    yield from _lone(shot, dice, Reference(_pointed(shot.seen(line), 0.7, dice), 50e-3), tilt=math.radians(35))


def _coin(shot: Pose, dice: random.Random) -> Iterator[tuple[float, float]]:
    """A coin of 24.25 mm outlined at 24 places: its roundness tells the tilt."""
    x, y, radius = dice.uniform(40, 100), dice.uniform(35, 75), 24.25 / 2
    turns = sorted(dice.uniform(0, math.tau) for _ in range(24))
    rim = np.array([(x + radius * math.cos(t), y + radius * math.sin(t)) for t in turns])
    yield from _lone(shot, dice, Reference(_pointed(shot.seen(rim), 0.7, dice), 24.25e-3, 0.02e-3, True))


def _plug(shot: Pose, dice: random.Random) -> Iterator[tuple[float, float]]:
    """A plug whose shell is somewhere in the tolerance of its drawing."""
    x, y, turn = dice.uniform(40, 100), dice.uniform(35, 75), dice.uniform(0, math.tau)
    size = 12 + dice.uniform(-0.1, 0.1)
    half = size / 2 * np.array([math.cos(turn), math.sin(turn)])
    line = np.stack([-half, half]) + np.array([x, y])
    yield from _lone(shot, dice, Reference(_pointed(shot.seen(line), 0.7, dice), 12e-3, 0.1e-3 / math.sqrt(3)))


def _lone(
    shot: Pose, dice: random.Random, reference: Reference, tilt: float | None = None
) -> Iterator[tuple[float, float]]:
    """Distances all over the picture by one reference."""
    told = shot.focal_35mm * math.exp(dice.gauss(0, 0.03)) if dice.random() < 0.5 else 0.0
    scale = reference_scale([reference], shot.size, focal_35mm=told, tilt=tilt)
    for _ in range(3):
        ends = _anywhere(dice)
        found = scale.measure(_pointed(shot.seen(ends), scale.pointing_px, dice))
        yield found.length - math.dist(*ends) * 1e-3, found.u


def _anywhere(dice: random.Random) -> np.ndarray:
    while True:
        ends = np.array([(dice.uniform(20, 120), dice.uniform(20, 90)) for _ in range(2)])
        if math.dist(*ends) > 5:
            return ends


def _pointed(pixels: np.ndarray, scatter: float, dice: random.Random) -> tuple[tuple[float, float], ...]:
    return tuple((x + dice.gauss(0, scatter), y + dice.gauss(0, scatter)) for x, y in pixels.tolist())


ROUTES = {"rule": (_rule, 5), "tilted rule": (_tilted_rule, 35), "coin": (_coin, 35), "plug": (_plug, 5)}


def _by_reference(route: str, seeds: range) -> list[float]:
    """Errors over stated standard uncertainties."""
    measure, tilt = ROUTES[route]
    return [
        error / u
        for seed in seeds
        for error, u in measure(pose(seed, most_tilt=tilt), random.Random(f"{route} {seed}"))
    ]


def _covered(scores: list[float]) -> float:
    return float(np.mean(np.abs(scores) <= 1.96))


def test_distances_by_the_card_lie_in_the_stated_interval() -> None:
    for case, scores in _by_card(range(6)).items():
        assert _covered(scores) >= 0.85, case
        assert np.std(scores) > 0.5, f"{case}: the stated uncertainty is far larger than the errors"


@pytest.mark.parametrize("route", ROUTES)
def test_distances_by_a_reference_lie_in_the_stated_interval(route: str) -> None:
    scores = _by_reference(route, range(10))
    assert _covered(scores) >= 0.88
    assert np.std(scores) > 0.5, "the stated uncertainty is far larger than the errors"


@pytest.mark.prove
@pytest.mark.timeout(3600)
def test_500_renders_of_the_card_keep_the_stated_95_percent() -> None:
    covered = {case: _covered(scores) for case, scores in _by_card(MANY).items()}
    assert all(0.935 <= one <= 0.975 for one in covered.values()), covered


@pytest.mark.prove
@pytest.mark.timeout(3600)
@pytest.mark.parametrize("route", ROUTES)
def test_500_cameras_keep_the_stated_95_percent(route: str) -> None:
    covered = _covered(_by_reference(route, MANY))
    assert 0.935 <= covered <= 0.975, f"{route}: {covered:.1%}"


def test_the_width_of_edges_is_that_of_the_blur() -> None:
    """A Gaussian edge takes 2.563 standard deviations from 10 % to 90 % (tables of the normal distribution)."""
    for sigma in (1.0, 2.5):
        grey = np.full((200, 200), 40, np.uint8)
        grey[:, 100:] = 200
        blurred = cv2.GaussianBlur(grey, (0, 0), sigma)
        square = [(99.5, 60.0), (99.5, 140.0), (40.0, 140.0), (40.0, 60.0)]
        assert edge_width(blurred, [(square, True)]) == pytest.approx(2.563 * sigma, rel=0.1)
        assert edge_width(blurred, [([(50.0, 100.0), (99.5, 100.0)], False)]) == pytest.approx(2.563 * sigma, rel=0.1)


def test_a_blurred_edge_widens_the_pointing() -> None:
    scale: Scale = reference_scale([Reference(((0, 0), (1000, 0)), 30e-3)], (2000, 1500))
    line = [(0.0, 0.0), (100.0, 0.0)]
    assert with_sharpness(scale, 8.0).measure(line).pointing_u > 2.5 * scale.measure(line).pointing_u
