"""The CC line: from a recording of the wire to frames, messages and the conversation.

inputs -> line -> messages -> conversation -> capture -> jsonview
"""

from __future__ import annotations

from partingline.readers.cc.capture import Capture, read_capture, read_hex
from partingline.readers.cc.conversation.story import Conversation
from partingline.readers.cc.inputs.recording import Options
from partingline.readers.cc.line.frame import Frame
from partingline.readers.cc.problem import Problem

__all__ = ["Capture", "Conversation", "Frame", "Options", "Problem", "read_capture", "read_hex"]
