"""The audit: the rules of `schemas/` as great-expectations suites over the whole catalogue.

In: a catalogue. Out: `Audit`, one `Check` a rule with what broke it. `frames` lays the tables out for the rules,
`judging` holds the arithmetic of the trade as plain functions on frames, `expectations` makes each of them a custom
expectation, `suite` asks for them with the limits of `schemas/`, `run` has a checkpoint run them and `history` keeps
what came out. Begin reading at `suite`.

great_expectations is an extra (`pip install 'halfinch[audit]'`); `expectations` is the only module that imports it, and
is itself imported only by a run.
"""
