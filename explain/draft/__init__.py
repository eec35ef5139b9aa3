"""Starting an order file from what has arrived: a typed prescription, a health record, a trace order, a table."""
