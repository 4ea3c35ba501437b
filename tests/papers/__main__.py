"""`python -m tests.papers`: every paper of the demo as a page in build/papers, by Chromium also as PDF and picture.

With a language (`python -m tests.papers de`) in that language.
"""

from __future__ import annotations

import sys
from pathlib import Path

from .printing import PAPERS, find_browser, print_pdf, take_picture, write_papers

FOLDER = Path("build/papers")


def main() -> int:
    language = sys.argv[1] if len(sys.argv) > 1 else "en"
    FOLDER.mkdir(parents=True, exist_ok=True)
    write_papers(FOLDER, language)
    browser = find_browser()
    for name in PAPERS:
        page = FOLDER / f"{name}.html"
        sys.stdout.write(f"{page}\n")
        if browser:
            print_pdf(browser, page, page.with_suffix(".pdf"))
            take_picture(browser, page, page.with_suffix(".png"))
    if not browser:
        sys.stdout.write("No Chromium here, so no PDF and no picture: apt-get install chromium\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
