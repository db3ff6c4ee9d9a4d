"""The figures of the sample document."""

from partingline.publish.document import Figure, FigureRow, Photo, Section, plain


def figure_sections(photo: Photo) -> tuple[Section, ...]:
    """One section with a photo."""
    board = Figure(
        "fig:barrier",
        "Barrier on the main board",
        photo,
        plain("Bottom face, rectified, 57 px/mm."),
        "Main board from below with the barrier.",
    )
    return (Section("figures", "Curves", (FigureRow((board,)),)),)
