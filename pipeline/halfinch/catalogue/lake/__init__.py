"""A lake: the catalogue's tables as Parquet in a folder or in object storage, for more sheets than one file holds.

In: rows, as whole objects. Out: a DuckDB connection in which the tables have the catalogue's names. Objects are written
once under names made from what is in them and never changed; a commit lists those that count, and is itself an object
that only one writer can put at its number. `objects` keeps them, `commits` lists them, `shape` says which tables there
are, `staging` writes what was read, `settling` makes the next commit of it, `opening` reads, `compacting` joins small
objects and sweeps. Begin reading at `commits`, then `settling`.
"""
