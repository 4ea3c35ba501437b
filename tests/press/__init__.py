"""The press: one invented garment's truth, printed as a sheet in any shape, read back and compared.

In: a seed. Out: bytes of a sheet and what a reader of the trade must take from it (`truth.Expected`). The press knows
nothing of how sheets are interpreted: its labels (`labels/*.toml`) are drawn from the trade's own variety. Begin
reading at `plan.print_sheet`.
"""
