"""A computed value taken apart by the causes that it shares with the other statements on its fact.

A reading, and a value computed from readings of the same meter, share that meter's errors: these cancel when the two
are compared.
"""

from collections.abc import Iterable, Mapping
from dataclasses import replace

import numpy as np

from partingline.facts.draws import Array, Draws, least_squares, standard_uncertainty
from partingline.model import Component, Interval, Number, Shape, Statement


def taken_apart(statement: Statement, drawn: Array, shared: Mapping[str, Shape], draws: Draws) -> Statement:
    """The statement with a component for the linear part of each shared cause, and its own cause for the rest.

    `drawn` has shape (count + 1,), the estimate first. Sensitivities are those of JCGM 100:2008, 5.1.3, by least
    squares over the draws; their signs are kept.
    """
    if not (shared and isinstance(statement.value, Number) and statement.value.components):
        return statement
    own = statement.value.components[0].cause
    finite = np.flatnonzero(np.isfinite(drawn[1:])) + 1
    around = drawn[finite] - drawn[finite].mean()
    units = np.stack([draws.unit(cause, shape)[finite] for cause, shape in shared.items()])
    widths = least_squares(units, around)
    rest = standard_uncertainty(np.concatenate((drawn[:1], drawn[0] + around - widths @ units)))
    parts = [
        Component(cause, float(width), shape) for (cause, shape), width in zip(shared.items(), widths, strict=True)
    ]
    parts += [Component(own, rest, Shape.NORMAL)] if rest else []
    return replace(statement, value=Number(statement.value.value, tuple(parts)))


def shapes_by_cause(statements: Iterable[Statement]) -> dict[str, Shape]:
    """The shape in which each cause is stated; tolerance classes are left out, since agreement reads them as widths."""
    shapes: dict[str, Shape] = {}
    for statement in statements:
        if isinstance(statement.value, Interval):
            shapes[f"interval:{statement.key.id}"] = Shape.RECTANGULAR
        elif isinstance(statement.value, Number):
            shapes |= {part.cause: part.shape for part in statement.value.components if part.width}
    return {cause: shape for cause, shape in sorted(shapes.items()) if not cause.startswith("tolerance:")}
