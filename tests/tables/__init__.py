"""Tables of PDFs that have nothing to do with garments: invented reports with known truth, read by us and by others.

    python -m tests.tables                     prints cell adjacency (F1, averaged by document) for every reader here
    python -m tests.tables --documents 400 --start 7000 --worst 10

`reports.py` invents the tables, `writers.py` prints them (three writers, ruled, half ruled, borderless),
`yardsticks.py` reads them with halfinch and with the general libraries that are installed; others are named as missing.
"""
