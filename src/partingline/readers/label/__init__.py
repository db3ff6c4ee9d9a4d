"""Label text as printed: ratings, offers, how ports share, marks; and picture sizes in listing lines.

What comes in: the text of a label. What goes out: statements with line and characters, and whatever
could not be read, with its place: nothing is lost, nothing is corrected.

    characters.py   full-width letters, dashes and direct-current signs made alike, one for one
    words.py        the words of labels, in their languages
    ports.py        names of ports
    state.py        the heading under which the next words stand
    recognisers/    the grammar, one subject a file, and the order in which it is tried
    reading.py      read_label
    video.py        read_video_modes, for running text
"""

from partingline.readers.label.reading import read_label
from partingline.readers.label.types import Label, LabelProblem, LabelStatement, Offer, Stretch

__all__ = ["Label", "LabelProblem", "LabelStatement", "Offer", "Stretch", "read_label"]
