"""What the audit takes in at most, in one place: larger or stranger files are refused in a sentence.

The numbers are generous for a workbook that people read, and small enough that a hostile file
costs seconds and not the machine: memory stays below 2 GB and every part of the work has an end.
"""

from __future__ import annotations

MEGABYTE = 1_000_000
FILE_BYTES = 200 * MEGABYTE  # the packed file
PARTS = 5_000  # entries of the zip
PART_BYTES = 600 * MEGABYTE  # one part, unpacked
TOTAL_BYTES = 1_000 * MEGABYTE  # all parts, unpacked
RATIO = 250  # unpacked to packed; spreadsheet XML of repeated rows reaches about 60
RATIO_FROM = 10 * MEGABYTE  # smaller parts may have any ratio
SMALL_PART = 40 * MEGABYTE  # a part that is read whole: workbook, styles, relationships, a chart
CELLS = 2_000_000  # filled cells of the whole workbook
STRINGS_BYTES = 300 * MEGABYTE  # text of the shared strings
TEXT = 32_767  # characters of one cell (Excel's own limit)
FORMULA = 8_192  # characters of one formula as stored (Excel's own limit)
DEPTH = 64  # brackets within brackets in a formula; Excel itself takes 64 levels of functions
LEVELS = 250  # operators and calls upon one another in a formula's tree: a sum of so many terms
ROWS, COLUMNS = 1_048_576, 16_384  # the grid
SHEETS = 1_000
NAMES = 50_000
XML_DEPTH = 200  # elements within elements
XML_ELEMENTS = 1_000_000  # elements of a part that is read whole
SHEET_NAME = 255  # characters; Excel itself takes 31, others more
AREA = 50_000_000  # cells of one area that a formula reads, within the filled part of its sheet
BLOCK = 2_000_000  # cells of one area that are taken apart in Python
PATTERNS = 200_000  # formulas that are not copies of one another
SECONDS = 600.0  # for the whole audit of one file
ADDRESS_BYTES = 4_000 * MEGABYTE  # address space of the audit itself, where the system can limit it
WORKER_SECONDS = 120.0  # for the engine to load, recompute and answer
WORKER_BYTES = 2_000 * MEGABYTE  # address space of the engine's process, where the system can limit it
EXPERIMENTS = 60  # findings whose effect on the headline numbers is worked out
