"""The DuckDB store: tables, history, rulings, the clean view `sizes`, exports.

In: `SheetResult`s with the place they came from. Out: rows that carry the way back to the printed cell, and tables for
analysts. `tables` says what is kept, `views` what is in force, `landing.land` is how a sheet gets in (whole or not at
all), `store` opens, locks and upgrades the file, `rulings` keeps what persons decided, `export` writes tables out and
`own_export` knows them again. Begin reading at `tables`, then `landing`.
"""
