"""Limits: how much is read of whatever arrives, all in one place. What is larger is refused in words.

Each is many times what the longest real file of its kind needs, and small enough that the worst file of that size is
refused in under a second and within 300 MB (tests/guard/test_bounded.py measures it).
"""

from __future__ import annotations

DOCUMENT_BYTES = 200_000
"""Of an order, a shop file, an answer, a shop's own words or part; the demo's largest has 3,000."""
DOCUMENT_DEPTH = 7
"""Groups and lists inside each other in YAML. An order needs 5: the list of what was inspected."""
DOCUMENT_VALUES = 10_000
"""Names and values of one file. An outline of 1,000 points needs 3,000 of them."""
DOCUMENT_FAULTS = 100
"""Told of one file: nobody reads more, and a file with so many is something else than an order."""
TRACE_BYTES = 1_000_000
"""Of a trace file. A radius takes 5 letters, so 2 lenses of 1,000 radii take 10,000."""
SOURCE_BYTES = 1_000_000
"""Of a letter, a health record, a trace order or a table. Letters come with pictures and a history."""
LETTER_LETTERS = 10_000
"""Of a letter without its headers, tags and pictures: about 5 printed pages. A prescription is a few lines."""
LETTER_LINE = 1_000
"""Letters of one line of it. Some 40 patterns look at each line, the slowest with the square of its length."""
RECORD_DEPTH = 50
"""Brackets inside each other in JSON. The records of our tests need 6."""
TABLE_ROWS = 1_000
"""Orders of one table. Each is tried as an order, which takes a few milliseconds."""
TABLE_CELL = 400
"""Letters of one cell. The longest value of an order has 200; a quotation mark left open makes one cell of all."""
TABLE_FAULTS = 40
"""Told of one table; rows after the row with the last of them are not tried any more."""
