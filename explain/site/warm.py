"""Warm: everything that making a page imports, for workers that are copied from a process that has it all."""

from __future__ import annotations

import explain.site.calendar_file
import explain.site.desk.papers
import explain.site.desk.rows
import explain.site.making
import explain.site.numbers
import explain.site.render  # noqa: F401  for what they import
