"""Figures outside tables: cards, prose, one sample size, a table pasted as one run of text."""

from __future__ import annotations

from .doc import Items, Pairs, Para
from .job import Job


def print_cards(job: Job) -> None:
    """One card of label and value a size."""
    job.add(job.title(), *job.say_units())
    word = str(job.rng.choice(job.words["size"][:2]))
    for size in job.garment.sizes:
        rows = [(job.label(column), job.cell(column, job.garment, size.token).text) for column in job.columns]
        job.add(Pairs(f"{word} {size.shown}", rows))


def print_sample(job: Job) -> None:
    """The measurements of one sample size, which is named first or last."""
    job.add(job.title())
    size = job.garment.sizes[0]
    lines = [f"{bare(job.label(c))}: {job.cell(c, job.garment, size.token).text}" for c in job.columns]
    named = job.word("sample").format(size=size.shown)
    last = job.rng.random() < 0.6
    if not last:
        job.add(Para(named))
    shape = job.rng.choice(["items", "items", "line", "paras"])
    if shape == "items":
        job.add(Items(lines))
    elif shape == "line":
        job.add(Para(job.rng.choice([", ", "; ", " / ", " | "]).join(lines)))
    else:
        job.add(*[Para(line) for line in lines])
    job.add(*job.say_units(), *([Para(named)] if last else []))


def bare(label: str) -> str:
    return " ".join(label.split()).rstrip(":. ")


def print_prose(job: Job) -> None:
    """A line a size: `Size S: waist 28", hip 38"`."""
    job.add(job.title(), *job.say_units())
    word = str(job.rng.choice(job.words["size"][:2]))
    lines = []
    joint = job.rng.choice([" ", ": ", " - ", " = "])
    for size in job.garment.sizes:
        parts = [f"{bare(job.label(c))}{joint}{job.cell(c, job.garment, size.token).text}" for c in job.columns]
        lines.append(f"{word} {size.shown}: " + job.rng.choice([", ", "; "]).join(parts))
    if job.rng.random() < 0.5:
        job.add(Items(lines))
    else:
        job.add(*[Para(line) for line in lines])


def print_run(job: Job) -> None:
    """A table pasted as one run of text: sizes, then label and figures, label and figures."""
    job.add(job.title(), *job.say_units())
    sizes = job.garment.sizes
    run = [job.words["size"][0], *[size.shown for size in sizes]]
    for column in job.columns:
        run += [bare(job.label(column)), *[job.cell(column, job.garment, size.token).text for size in sizes]]
    if job.rng.random() < 0.5:
        job.add(Para(" ".join(run)))
        return
    lines = [" ".join([job.words["size"][0], *[size.shown for size in sizes]])]
    at = len(sizes) + 1
    for number in range(len(job.columns)):
        part = run[at + number * (len(sizes) + 1) : at + (number + 1) * (len(sizes) + 1)]
        lines.append(" ".join(part))
    job.add(*[Para(line) for line in lines])
