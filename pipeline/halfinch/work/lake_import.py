"""Files become rows of a lake: packed, read here or on a cluster, written as objects, and listed by one commit.

Until that commit nothing shows; an import that was stopped anywhere goes on where it was when it is run again.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from halfinch.catalogue import store, summary
from halfinch.catalogue.habits import load_habits
from halfinch.catalogue.identity import Stamp
from halfinch.catalogue.lake import commits
from halfinch.catalogue.lake.objects import Objects, beside, open_objects
from halfinch.catalogue.lake.settling import settle
from halfinch.catalogue.lake.staging import Batch, find_batch, marker_of
from halfinch.figure import SheetResult
from halfinch.work.files import find_files
from halfinch.work.importing import Options, Progress, Report, make_stamp, with_trouble
from halfinch.work.packs import Pack, Packing, read_packs
from halfinch.work.pool import Setting
from halfinch.work.reading import failed


def import_to_lake(
    lake: Path, paths: Sequence[Path], options: Options | None = None, progress: Progress | None = None
) -> Report:
    """Imports files, folders and containers into a lake, which is made where there is none.

    Raises as `import_paths`, and CatalogueError where something is missing; what was read is kept for the next time.
    """
    options = options or Options()
    objects = open_objects(lake)
    commits.found(objects)
    found = list(find_files(paths, beside(lake, lake.name), merchant=options.merchant, named=options.named))
    habits = load_habits(lake)
    stamp = make_stamp(options.schemas, habits)
    packing = _packing(lake, objects, options, stamp)
    setting = Setting(options.schemas, habits, options.memory)
    batches: dict[str, Batch] = {}
    done = 0

    def missing() -> Iterator[Pack]:
        """Packs that were not written before."""
        for pack in packing.packs(found):
            before = find_batch(objects, pack.name)
            if before is None:
                yield pack
            else:
                tell(pack, before)

    def tell(pack: Pack, batch: Batch) -> None:
        nonlocal done
        batches[pack.name] = batch
        for one in pack.files:
            done += 1
            if progress is not None:
                progress(done, len(found), one.task.name)

    if options.on:
        from halfinch.work.cluster import read_packs_on

        written = read_packs_on(options.on, missing(), packing, objects, stamp, setting, limit=options.limit)
    else:
        written = read_packs(missing(), objects, stamp, setting, jobs=options.jobs, limit=options.limit)
    for pack, batch in written:
        tell(pack, batch)
    moment = store.now()
    listed = [batches[name] for name in sorted(batches)]
    commits.commit_next(objects, lambda base: settle(objects, base, listed, packing.seen_again, moment))
    objects.delete(marker_of(name) for name in batches)
    return _report(lake, listed, packing, options)


def _packing(lake: Path, objects: Objects, options: Options, stamp: Stamp) -> Packing:
    base = commits.newest(objects)
    if not base.number:
        return Packing(stamp, frozenset())
    known = summary.known_files(lake, options.wait)
    with store.reading(lake, options.wait) as connection:
        rows = connection.execute(
            "SELECT DISTINCT file_id FROM files JOIN sheets USING (sheet_id) WHERE outcome = 'failed'"
        )
        before = frozenset(row[0] for row in rows.fetchall())
    return Packing(stamp, known, before, base.number)


def _report(lake: Path, batches: Sequence[Batch], packing: Packing, options: Options) -> Report:
    wait = options.wait
    told = [sheet for batch in batches for sheet in batch.sheets]
    troubled: dict[str, SheetResult] = {
        sheet_id: failed(sheet, sheet_id, 0, message)
        for sheet_id, sheet, outcome, message in told
        if outcome == "failed"
    }
    ids = {sheet[0] for sheet in told} | summary.sheets_in(lake, {one.file_id for one in packing.seen_again}, wait)
    lines, held = summary.summarise(lake, ids, wait)
    stale = len(summary.stale_readings(lake, packing.stamp, wait=wait))
    differing = summary.find_differing(lake, ids, wait)
    shown = tuple(with_trouble(line, troubled) for line in lines)
    return Report(shown, tuple(held), len(packing.unchanged), stale, tuple(differing))
