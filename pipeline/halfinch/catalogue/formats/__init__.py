"""The open formats in which tables leave the catalogue, a module each.

In: an open file, the table's columns, its rows in batches. Out: how many rows were written. `cells.py` says how a
value looks as text; `export.py` chooses the rows and the file.
"""
