"""`unit.toml`: its form, reading it, editing it with comments kept, and the skeleton that `init` writes."""

from partingline.readers.unitfile.edit import set_value
from partingline.readers.unitfile.read import ReadUnit, read_unit_file
from partingline.readers.unitfile.schema import PortTable, ReadingTable, UnitFile
from partingline.readers.unitfile.start import write_skeleton

__all__ = [
    "PortTable",
    "ReadUnit",
    "ReadingTable",
    "UnitFile",
    "read_unit_file",
    "set_value",
    "write_skeleton",
]
