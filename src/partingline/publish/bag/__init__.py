"""A publication frozen with all its evidence: BagIt 1.0 (RFC 8493), so that it can be proved later.

What comes in: a unit folder and the files of its publication. What goes out: a bag, or what is wrong with one.
"""

from partingline.publish.bag.verify import verify_bag
from partingline.publish.bag.write import write_bag

__all__ = ["verify_bag", "write_bag"]
