"""Rules over figures: what cannot be true is held, one by one, with the reason; its neighbours are not.

In: figures and garments of one sheet. Out: the same figures with their status, and findings. Rules return findings and
never raise. Their limits stand in `schemas/` (points, grades, relations); the audit of the whole catalogue uses them
too. Begin reading at `judge`.
"""

from __future__ import annotations

from halfinch.plausibility.judge import judge

__all__ = ["judge"]
