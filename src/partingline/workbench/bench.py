"""The bench: a folder of units. Nothing outside of it is read or written, through links neither."""

import os
import re
import threading
from collections import OrderedDict
from pathlib import Path

from partingline.readers.unitfile import write_skeleton
from partingline.workbench.editing import RefusedError
from partingline.workbench.live import LiveUnit

_NAME = re.compile(r"[^\W_][\w .+-]{0,79}", re.UNICODE)
_MOST_OPEN = 8
OWN = ".partingline"
"""Where what is derived lies."""


class Bench:
    """Opens units, and keeps the latest of them open."""

    def __init__(self, root: Path) -> None:
        self.root = root.resolve()
        self.own = self.root / OWN
        self._units: OrderedDict[str, LiveUnit] = OrderedDict()
        self._lock = threading.Lock()

    def ids(self) -> tuple[str, ...]:
        """The names of the units' folders, sorted; a link is none, wherever it leads, nor is a sealed bag."""
        with os.scandir(self.root) as inside:
            found = [one.name for one in inside if one.name[0] != "." and one.is_dir(follow_symlinks=False)]
        return tuple(sorted(name for name in found if not os.path.exists(f"{self.root}/{name}/bagit.txt")))  # noqa: PTH110

    def unit(self, id_: str) -> LiveUnit | None:
        """A unit of the bench; None where there is no such folder in it."""
        path = self._path(id_)
        if path is None:
            return None
        with self._lock:
            if id_ not in self._units:
                self._units[id_] = LiveUnit(id_, path, self.own)
                idle = [name for name, one in self._units.items() if not one.hub.people and name != id_]
                for name in idle[: max(0, len(self._units) - _MOST_OPEN)]:
                    del self._units[name]
            self._units.move_to_end(id_)
            return self._units[id_]

    def open_units(self) -> tuple[LiveUnit, ...]:
        """The units that are open now."""
        with self._lock:
            return tuple(self._units.values())

    def make(self, id_: str) -> LiveUnit:
        """A new unit folder with the skeleton in it."""
        if not _NAME.fullmatch(id_) or id_ != id_.strip(" ."):
            step = "Choose another name; the maker's and model's own names are typed later."
            raise RefusedError("name", f"{id_!r:.100}", "letters, digits, blanks and - . + in a name", step)
        path = self.root / id_
        if path.exists() or path.is_symlink():
            raise RefusedError("name", f"'{id_}' is there already", "a name that is free", "Choose another name.")
        write_skeleton(path)
        unit = self.unit(id_)
        if unit is None:
            raise RefusedError("name", f"'{id_}' could not be made", "a folder", "Look at the bench's permissions.")
        return unit

    def _path(self, id_: str) -> Path | None:
        if not id_ or id_.startswith(".") or "/" in id_ or "\\" in id_ or "\0" in id_:
            return None
        try:
            path = (self.root / id_).resolve()
            inside = path.parent == self.root and path.name == id_
            return path if inside and path.is_dir() else None
        except (OSError, RuntimeError):
            return None
