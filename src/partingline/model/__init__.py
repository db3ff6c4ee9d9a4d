"""The words of the design as frozen types. Nothing here reads a file, a network or a screen.

What comes in: nothing. What goes out: `Key`, `Number`, `Statement`, `Fact`, `Finding`, `Problem` and their parts.
"""

from partingline.model.evidence import Cell, Evidence, KeyPath, Line, Place, Region, Rows, Samples, Whole
from partingline.model.fact import Fact, Standing
from partingline.model.finding import Citation, Finding, Limit, Span, Verdict
from partingline.model.key import Condition, Key
from partingline.model.problem import Problem
from partingline.model.route import Route, Sense
from partingline.model.statement import Basis, Statement
from partingline.model.unit import Offer, OfferList, OpeningStep, Part, Port, Unit
from partingline.model.value import Component, Interval, Number, Shape, Text, Value

__all__ = [
    "Basis",
    "Cell",
    "Citation",
    "Component",
    "Condition",
    "Evidence",
    "Fact",
    "Finding",
    "Interval",
    "Key",
    "KeyPath",
    "Limit",
    "Line",
    "Number",
    "Offer",
    "OfferList",
    "OpeningStep",
    "Part",
    "Place",
    "Port",
    "Problem",
    "Region",
    "Route",
    "Rows",
    "Samples",
    "Sense",
    "Shape",
    "Span",
    "Standing",
    "Statement",
    "Text",
    "Unit",
    "Value",
    "Verdict",
    "Whole",
]
