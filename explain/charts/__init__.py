"""Drawing what optics worked out, in one house style."""

from explain.charts.board import draw

__all__ = ["draw"]
