"""Statements from every route, brought together as facts; the graph of who needs what.

What comes in: observations of the readers and the calculations. What goes out: a `Book` of facts. It never judges
against a limit; that is what `findings` is for.
"""

from partingline.facts.book import Book
from partingline.facts.derivation import Derivation
from partingline.facts.draws import Draws

__all__ = ["Book", "Derivation", "Draws"]
