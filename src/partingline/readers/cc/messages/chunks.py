"""Chunked extended messages put together again: 26 data bytes a chunk, each asked for by its number."""

from __future__ import annotations

from dataclasses import dataclass, field

from partingline.readers.cc.messages.message import Chunk, Message, complete

CHUNK_BYTES = 26


@dataclass(slots=True)
class ChunkJoiner:
    """Collects chunks of one conversation. `add` gives the whole message once its last part has come."""

    _open: dict[tuple[str, str | bool | None], tuple[Message, bytearray, int]] = field(default_factory=dict)

    def add(self, message: Message) -> Message | None:
        """Take one message; give the completed one, or None while parts are missing or it is not a chunk."""
        body, ext = message.body, message.extended
        if not isinstance(body, Chunk) or body.request or ext is None:
            return None
        key = (message.sop, message.header.power_role or message.header.from_plug)
        if body.number == 0:
            first, data = message, bytearray()
        else:
            known = self._open.get(key)
            if known is None or known[2] != body.number or not _same(known[0], message):
                return None
            first, data, _ = known
        data += body.data[: min(CHUNK_BYTES, ext.data_size - len(data))]
        if len(data) >= ext.data_size:
            self._open.pop(key, None)
            return complete(first, bytes(data))
        self._open[key] = (first, data, body.number + 1)
        return None


def _same(first: Message, later: Message) -> bool:
    sizes = [m.extended.data_size if m.extended else None for m in (first, later)]
    return first.header.type_code == later.header.type_code and sizes[0] == sizes[1]
