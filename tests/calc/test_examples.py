"""Every declared calculation against the worked example that it carries."""

import dataclasses
from collections.abc import Mapping
from typing import Any

import numpy as np
import pytest

import partingline.calc
from partingline.calc.declare import CALCULATIONS, Calculation


@pytest.mark.parametrize("calculation", CALCULATIONS.values(), ids=CALCULATIONS)
def test_the_example_of_each_calculation_comes_out(calculation: Calculation[..., Any]) -> None:
    example = calculation.example
    assert example is not None, "every calculation shows a worked example"
    close(calculation(**example.inputs), example.result, example.tolerance)


@pytest.mark.parametrize("calculation", CALCULATIONS.values(), ids=CALCULATIONS)
def test_each_calculation_rests_on_something_outside_or_says_why_not(
    calculation: Calculation[..., Any],
) -> None:
    assert calculation.example is not None
    assert calculation.example.outside != bool(calculation.no_outside), "an outside example, or the reason for none"


@pytest.mark.parametrize("calculation", CALCULATIONS.values(), ids=CALCULATIONS)
def test_each_calculation_can_be_read(calculation: Calculation[..., Any]) -> None:
    assert calculation.summary.endswith(".")
    assert set(calculation.valid_for) <= set(calculation.units)
    example = calculation.example
    assert example is not None
    assert set(example.inputs) <= set(calculation.units)
    assert calculation.outside_validity(example.inputs) == []


def test_the_package_imports_every_module_that_declares() -> None:
    modules = {id_.partition(".")[0] for id_ in CALCULATIONS}
    assert modules <= set(partingline.calc.__all__)


def close(got: Any, expected: Any, tolerance: float) -> None:
    """Assert that a result matches; `tolerance` is relative, 0 leaves the rounding of unit conversions."""
    if isinstance(expected, Mapping):
        fields = dataclasses.asdict(got)
        for name, value in expected.items():
            close(fields[name], value, tolerance)
    elif isinstance(expected, str):
        assert got == expected
    else:
        np.testing.assert_allclose(got, expected, rtol=max(tolerance, 1e-12), atol=0)
