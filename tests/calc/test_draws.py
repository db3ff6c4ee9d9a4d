"""What holds for every calculation: arrays of draws give what each draw gives, and nothing is changed in place."""

import dataclasses
from typing import Any, get_type_hints

import numpy as np
import pytest

import partingline.calc  # noqa: F401
from partingline.calc.declare import CALCULATIONS, Calculation, Real

SPREAD = np.array([1.0, 0.99, 1.01, 1.0])


def drawn(calculation: Calculation[..., Any]) -> dict[str, Any]:
    """The example's inputs, with four draws for each argument that takes draws."""
    hints = get_type_hints(calculation.function)
    assert calculation.example is not None
    return {
        name: value * SPREAD if hints[name] == Real and isinstance(value, float) else value
        for name, value in calculation.example.inputs.items()
    }


ARRAYED = {id_: one for id_, one in CALCULATIONS.items() if any(isinstance(v, np.ndarray) for v in drawn(one).values())}


def fields(result: Any) -> dict[str, Any]:
    return dataclasses.asdict(result) if dataclasses.is_dataclass(result) else {"": result}  # type: ignore[arg-type]


@pytest.mark.parametrize("calculation", ARRAYED.values(), ids=ARRAYED)
def test_draws_give_what_each_draw_gives(calculation: Calculation[..., Any]) -> None:
    inputs = drawn(calculation)
    kept = {name: np.copy(value) for name, value in inputs.items() if isinstance(value, np.ndarray)}
    together = fields(calculation(**inputs))
    for name, before in kept.items():
        np.testing.assert_array_equal(inputs[name], before)
    for n in range(len(SPREAD)):
        one = {name: value[n] if isinstance(value, np.ndarray) else value for name, value in inputs.items()}
        for name, value in fields(calculation(**one)).items():
            assert np.shape(value) == ()
            got = together[name]
            np.testing.assert_allclose(got[n] if np.ndim(got) else got, value, rtol=1e-9, err_msg=name)


@pytest.mark.parametrize("calculation", ARRAYED.values(), ids=ARRAYED)
def test_draws_keep_their_shape(calculation: Calculation[..., Any]) -> None:
    inputs = drawn(calculation)
    shapes = {np.shape(value) for value in fields(calculation(**inputs)).values()}
    assert SPREAD.shape in shapes
    assert shapes <= {SPREAD.shape, ()}
