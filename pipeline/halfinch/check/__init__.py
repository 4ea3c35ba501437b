"""Fixtures against their expected figures.

In: folders of sheets, each with its `NAME.expected.csv` beside it. Out: one `SheetCheck` a fixture, with every
difference in plain words. Begin reading in `folder.py` (which files, what is read), then `compare.py` (figure by
figure).
"""

from __future__ import annotations

from halfinch.check.compare import Difference, compare_figures
from halfinch.check.expected import Expectation, read_expectations
from halfinch.check.folder import SheetCheck, check_fixture, check_folders, find_fixtures
from halfinch.check.report import to_github, to_json, to_junit, to_lines, to_markdown

__all__ = [
    "Difference",
    "Expectation",
    "SheetCheck",
    "check_fixture",
    "check_folders",
    "compare_figures",
    "find_fixtures",
    "read_expectations",
    "to_github",
    "to_json",
    "to_junit",
    "to_lines",
    "to_markdown",
]
