"""Files that measuring arms, probes, indicators and pressure loggers write, read into rows of decimal text.

Pure: bytes in, text out, no Django. One way through it: `read` gives the table of a file with its dialect,
its headings and what its comments say; `guess` says which column is what; `take` gives the figures. Whatever
cannot be read in one way only is `Unreadable`, whose sentence names line, column and what stands there.
"""

from inspections.probe_files.columns import Shape, feature_named, guess, roles_of
from inspections.probe_files.decode import MOST_BYTES
from inspections.probe_files.dialect import DELIMITERS, Dialect
from inspections.probe_files.figures import Figure, figure
from inspections.probe_files.refusal import Unreadable
from inspections.probe_files.table import MOST_ROWS, Column, Row, Table, read, same_serial
from inspections.probe_files.taking import Taken, feature_names, take

__all__ = [
    "DELIMITERS",
    "MOST_BYTES",
    "MOST_ROWS",
    "Column",
    "Dialect",
    "Figure",
    "Row",
    "Shape",
    "Table",
    "Taken",
    "Unreadable",
    "feature_named",
    "feature_names",
    "figure",
    "guess",
    "read",
    "roles_of",
    "same_serial",
    "take",
]
