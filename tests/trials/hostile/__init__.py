"""Files made to harm: each is read, or refused in one sentence, and the batch goes on. `python -m tests.trials.hostile`
reads them in full size; the tests read them small."""
