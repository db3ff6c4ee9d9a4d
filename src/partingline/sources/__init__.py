"""Published sources and the glossary, as data files with a loader; limits as functions of the published tables.

What comes in: the TOML files in `data/`. What goes out: `cite(...)`, the glossary of quantities and roles, limits.
A limit never decides a verdict here; that is what `findings` is for.
"""

from partingline.sources.documents import Document, cite, documents
from partingline.sources.glossary import Quantity, Role, quantities, quantity, role, roles

__all__ = ["Document", "Quantity", "Role", "cite", "documents", "quantities", "quantity", "role", "roles"]
