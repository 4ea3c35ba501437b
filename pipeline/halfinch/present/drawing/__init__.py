"""Drawings to scale (SVG): a pair as sold and as worn over the wearer's leg, and its hem in each pair of shoes.

In: a Scene of `halfinch.fit`. Out: an SVG text that stands in a page or in a file of its own. Begin reading at
`front.draw_front`. Nothing is worked out here but where a line goes on the paper. `points` shows where each point of
measure is taken.
"""

from halfinch.present.drawing.front import draw_front
from halfinch.present.drawing.hems import draw_hems
from halfinch.present.drawing.points import draw_point

__all__ = ["draw_front", "draw_hems", "draw_point"]
