"""Reading an order file and a shop file, and doubting them."""

from explain.order.faults import Doubt, Fault, OrderError
from explain.order.order import ReadOrder, read_order, read_plan
from explain.order.shop import read_shop

__all__ = ["Doubt", "Fault", "OrderError", "ReadOrder", "read_order", "read_plan", "read_shop"]
