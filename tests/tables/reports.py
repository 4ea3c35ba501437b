"""Invented tables of many kinds of report: what is printed and what stands beside and under what.

A table is rows of texts; ``<`` goes on from the left, ``^`` from above (adjacency.py). A line break in a text is a line
break in its cell. The same seed gives the same document.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass

Rows = list[list[str]]

PLACES = [
    "Aldermoor",
    "Brackwater",
    "Cinderford Vale",
    "Dunmere",
    "Eastholt",
    "Farrow Bay",
    "Gullcrest",
    "Hindle",
    "Ivystone",
    "Jarrowby",
    "Kestle Point",
    "Lower Marsh",
    "Northern highlands",
    "Oakhaven and islands",
]
GOODS = [
    "Copper pipe 15 mm",
    "Elbow fitting",
    "Soldering paste",
    "Ball valve, brass",
    "Sealing ring",
    "Pipe clip",
    "Pressure gauge",
    "Drain cock",
    "Insulation sleeve",
    "Expansion vessel",
    "Return filter",
]
LONG = [
    "delivered in lengths of three metres,\ncut on request",
    "with union nut and gasket",
    "for potable water,\ntested to 16 bar",
    "not to be used outdoors",
    "replaces the older pattern\nfrom autumn on",
    "two pieces a pack",
]
PEOPLE = ["Ida Morrow", "Tom Quill", "Ann Birch", "Per Lund", "Noor Haddad", "Jo Ember", "Lina Vetter", "Sam Okoro"]
DUTIES = ["Front desk", "Archive", "Reading room", "Repairs", "Night watch", "Children's corner", "Loans"]
ITEMS = [
    "Revenue",
    "Cost of sales",
    "Gross profit",
    "Staff",
    "Rent and heating",
    "Depreciation",
    "Other income",
    "Interest",
    "Result before tax",
    "Tax",
    "Result of the year",
]
ANSWERS = ["Very satisfied", "Rather satisfied", "Neither nor", "Rather dissatisfied", "Very dissatisfied", "No answer"]
SUBSTANCES = ["Nitrate", "Chloride", "Iron", "Manganese", "Sulphate", "Lead", "pH value", "Hardness", "Turbidity"]
STOPS = ["Harbour Gate", "Old Mill Lane", "Hospital", "University North", "Museum", "Terminus", "Market", "Ferry pier"]


@dataclass(frozen=True, slots=True)
class Table:
    """One table as it is printed: `heads` rows of heading, columns that are numbers stand to the right."""

    rows: Rows
    heads: int = 1
    title: str = ""
    notes: tuple[str, ...] = ()
    """Footnotes under it: no part of the table."""


def statistics(dice: random.Random) -> Table:
    """Regions by years, with a second heading over groups of years."""
    years = [str(2015 + i) for i in range(dice.randint(2, 3))]
    groups = dice.sample(["Residents", "Dwellings", "Firms", "Vehicles"], 2)
    head = [["Region", *[part for group in groups for part in [group, *["<"] * (len(years) - 1)]]]]
    head.append(["^", *years * 2])
    body = [[place, *(_thousands(dice) for _ in years * 2)] for place in dice.sample(PLACES, dice.randint(4, 11))]
    total = ["Total", *(_thousands(dice) for _ in years * 2)]
    return Table(
        [*head, *body, total], 2, "Residents, dwellings and firms by region", ("1) Estimate at the end of the year.",)
    )


def accounts(dice: random.Random) -> Table:
    """A profit and loss account: notes in few rows, negative figures in brackets, empty cells."""
    rows = [["EUR thousand", "Note", "2022", "2021", "Change"]]
    for item in ITEMS[: dice.randint(6, 11)]:
        figures = [_money(dice), _money(dice), f"{dice.uniform(-30, 40):+.1f} %" if dice.random() < 0.8 else ""]
        rows.append([item, str(dice.randint(1, 30)) if dice.random() < 0.35 else "", *figures])
    return Table(rows, 1, "Profit and loss account", ("The notes are part of these accounts.",))


def stock(dice: random.Random) -> Table:
    """Goods with descriptions of several lines."""
    rows = [["No", "Article", "Remarks", "Qty", "Unit price"]]
    for number, good in enumerate(dice.sample(GOODS, dice.randint(4, 9)), start=1):
        remark = dice.choice(LONG) if dice.random() < 0.75 else ""
        rows.append([str(number), good, remark, str(dice.randint(1, 400)), f"{dice.uniform(0.2, 180):.2f}"])
    return Table(rows, 1, "Stock on hand")


def survey(dice: random.Random) -> Table:
    """Answers in per cent by groups of people."""
    groups = dice.sample(["All", "Women", "Men", "Under 30", "30 to 59", "60 and over"], dice.randint(3, 5))
    rows = [["How satisfied are you?", *groups]]
    rows += [[answer, *(f"{dice.uniform(0, 60):.1f}%" for _ in groups)] for answer in ANSWERS]
    rows.append(["n", *(f"{dice.randint(90, 2400):,}" for _ in groups)])
    return Table(rows, 1, "Satisfaction with the library", ("Differences from 100 come from rounding.",))


def laboratory(dice: random.Random) -> Table:
    """Substances with limits that few have, and figures below what can be measured."""
    sites = [f"Well {letter}" for letter in "ABCD"[: dice.randint(2, 4)]]
    rows = [["Substance", "Unit", "Limit", *sites]]
    for substance in dice.sample(SUBSTANCES, dice.randint(5, 9)):
        figures = [
            dice.choice(["< 0.01", "n.d.", "", f"{dice.uniform(0, 60):.2f}", f"{dice.uniform(0, 9):.3f}"])
            for _ in sites
        ]
        rows.append([substance, dice.choice(["mg/l", "µg/l"]), dice.choice(["50", "0.2", "", "250"]), *figures])
    return Table(rows, 1, "Drinking water, second quarter", ("n.d. = not detected",))


def timetable(dice: random.Random) -> Table:
    """Stops by runs; some runs do not stop."""
    runs = [str(101 + 2 * i) for i in range(dice.randint(4, 8))]
    rows = [["Stop", *runs]]
    for i, stop in enumerate(dice.sample(STOPS, dice.randint(4, 8))):
        times = [f"{6 + (30 * k + 6 * i) // 60:02}:{(30 * k + 6 * i) % 60:02}" for k in range(len(runs))]
        rows.append([stop, *(time if dice.random() < 0.9 or k == 0 else "" for k, time in enumerate(times))])
    return Table(rows, 1, "Line 4, weekdays")


def roster(dice: random.Random) -> Table:
    """Words only; the days span the people on duty."""
    rows = [["Day", "Name", "Duty", "From"]]
    for day in ("Monday", "Tuesday", "Wednesday", "Thursday")[: dice.randint(2, 4)]:
        for k in range(dice.randint(1, 3)):
            rows.append([day if k == 0 else "^", dice.choice(PEOPLE), dice.choice(DUTIES), f"{dice.randint(7, 17)}:00"])
    return Table(rows, 1, "Who is where")


def league(dice: random.Random) -> Table:
    """Many narrow columns of small numbers."""
    rows = [["", "Club", "P", "W", "D", "L", "Goals", "Pts"]]
    for place, club in enumerate(dice.sample(PLACES, dice.randint(6, 12)), start=1):
        won, drawn, lost = dice.randint(0, 14), dice.randint(0, 9), dice.randint(0, 14)
        goals = f"{dice.randint(8, 60)}:{dice.randint(8, 60)}"
        rows.append(
            [f"{place}.", club, str(won + drawn + lost), str(won), str(drawn), str(lost), goals, str(3 * won + drawn)]
        )
    return Table(rows, 1, "County league, after the last round")


def sections(dice: random.Random) -> Table:
    """Rows that head the rows below them, over all columns."""
    rows = [["", "2020", "2021", "2022"]]
    for name in dice.sample(["Energy", "Water", "Waste", "Journeys to work"], dice.randint(2, 3)):
        rows.append([name, "<", "<", "<"])
        for part in dice.sample(
            ["of which renewable", "bought from others", "own sources", "per head", "per square metre"], 3
        ):
            rows.append([part, *(f"{dice.uniform(1, 900):,.1f}" for _ in range(3))])
    return Table(rows, 1, "Environmental figures")


KINDS: tuple[Callable[[random.Random], Table], ...] = (
    statistics,
    accounts,
    stock,
    survey,
    laboratory,
    timetable,
    roster,
    league,
    sections,
)


def _thousands(dice: random.Random) -> str:
    return "-" if dice.random() < 0.05 else f"{dice.randint(800, 2_400_000):,}"


def _money(dice: random.Random) -> str:
    value = dice.randint(-9_000, 90_000)
    return f"({-value:,})" if value < 0 else f"{value:,}"
