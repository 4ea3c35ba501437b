"""schema.org as JSON-LD: a ProductGroup a garment, a Product a size and length, with what was measured.

Points that schema.org knows are `hasMeasurement` (QuantitativeValue with `valueReference`), the others (rises, thigh,
knee, opening) `additionalProperty` (PropertyValue); the body a size is meant for is `suggestedMeasurement` of its
SizeSpecification. Units are UN/CEFACT codes: INH. Only clean figures go out; what was assumed says so.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from decimal import Decimal
from itertools import chain, groupby
from typing import IO, Any

from halfinch.catalogue.formats.cells import Batches, plain
from halfinch.catalogue.tables import BODY_POINTS, GARMENT_POINTS, Table

PUBLISHER = {"@type": "Organization", "name": "halfinch"}
"""By this a feed of ours is known when it comes back."""

MEASURES = {
    "waist": "WearableMeasurementWaist",
    "hip": "WearableMeasurementHips",
    "inseam": "WearableMeasurementInseam",
    "outseam": "WearableMeasurementOutsideLeg",
    "body_waist": "BodyMeasurementWaist",
    "body_hip": "BodyMeasurementHips",
    "body_inseam": "BodyMeasurementInsideLeg",
    "body_height": "BodyMeasurementHeight",
}
"""Points that have a member of MeasurementTypeEnumeration."""
SYSTEMS = {"EU": "Europe", **{name: name for name in ("US", "UK", "AU", "DE", "FR", "IT", "JP", "BR", "CN", "MX")}}
GROUPS = {
    "extra short": "ExtraShort", "petite": "Petite", "short": "Short", "regular": "Regular", "tall": "Tall",
    "plus": "Plus", "maternity": "Maternity",
}  # fmt: skip
"""Lengths and blocks that have a member of WearableSizeGroupEnumeration; others are told in words."""
ASSUMED = "assumed: right beyond reasonable doubt, but the sheet leaves something unsaid (unit, flat or round)"

Node = dict[str, Any]


def write_jsonld(file: IO[bytes], table: Table, batches: Batches) -> int:
    """Rows of `sizes` with what `garments` says, a garment's rows together; one DataFeed."""
    head = {"@context": "https://schema.org", "@type": "DataFeed", "sdPublisher": PUBLISHER, "name": "Trousers by size"}
    file.write(f'{json.dumps(head)[:-1]}, "dataFeedElement": ['.encode())
    count, mark = 0, "\n"
    rows = (dict(zip(table.column_names, row, strict=True)) for row in chain.from_iterable(batches))
    for _, sizes in groupby(rows, key=lambda row: row["garment_id"]):
        group = make_group(list(sizes))
        file.write(f"{mark}{json.dumps(group, ensure_ascii=False)}".encode())
        count, mark = count + len(group["hasVariant"]), ",\n"
    file.write(b"\n]}\n")
    return count


def make_group(sizes: list[Mapping[str, Any]]) -> Node:
    """One garment, out of its rows."""
    first = sizes[0]
    group: Node = {
        "@type": "ProductGroup",
        "productGroupID": first["garment_id"],
        "name": name_of(first),
        "mpn": first["style_code"],
        "brand": {"@type": "Brand", "name": first["merchant"]} if first["merchant"] else "",
        "color": first["colour"],
        "material": first["fabric"],
        "url": first["url"],
        "variesBy": ["https://schema.org/size"],
        "additionalProperty": [
            {"@type": "PropertyValue", "propertyID": name, "name": name, "value": first[name]}
            for name in ("silhouette", "block", "state")
            if first[name]
        ],
        "hasVariant": [make_variant(size) for size in sizes],
    }
    if first["price"] is not None and first["currency"]:
        offer = {"@type": "Offer", "price": plain(first["price"]), "priceCurrency": first["currency"]}
        group["offers"] = offer
    return _told(group)


def name_of(size: Mapping[str, Any]) -> str:
    return str(size["style"] or size["style_code"] or size["garment_id"])


def make_variant(size: Mapping[str, Any]) -> Node:
    """One size and length of a garment."""
    known = [point for point in GARMENT_POINTS if size[point] is not None]
    groups = [GROUPS.get(name, name) for name in (size["length"], size["block"]) if name]
    system = SYSTEMS.get(size["size_system"])
    return _told({
        "@type": "Product",
        "inProductGroupWithID": size["garment_id"],
        "name": " ".join(filter(None, (name_of(size), size["size"], size["length"]))),
        "size": _told({
            "@type": "SizeSpecification",
            "name": size["size"],
            "sizeSystem": f"https://schema.org/WearableSizeSystem{system}" if system else size["size_system"],
            "sizeGroup": [
                f"https://schema.org/WearableSizeGroup{name}" if name in GROUPS.values() else name for name in groups
            ],
            "suggestedMeasurement": [measure(size, point) for point in BODY_POINTS if size[point] is not None],
        }),
        "hasMeasurement": [measure(size, point) for point in known if point in MEASURES],
        "additionalProperty": [measure(size, point) for point in known if point not in MEASURES],
    })  # fmt: skip


def measure(size: Mapping[str, Any], point: str) -> Node:
    """A point in inches of the full girth or length."""
    low, high = size[point], size[f"{point}_to"]
    kind = "QuantitativeValue" if point in MEASURES else "PropertyValue"
    told = {"value": _number(low)} if high is None else {"minValue": _number(low), "maxValue": _number(high)}
    return _told({
        "@type": kind,
        "name": point.removeprefix("body_").replace("_", " "),
        "propertyID": "" if point in MEASURES else point,
        "valueReference": f"https://schema.org/{MEASURES[point]}" if point in MEASURES else "",
        **told,
        "unitCode": "INH",
        "unitText": "in",
        "description": ASSUMED if size[f"{point}_status"] == "assumed" else "",
    })  # fmt: skip


def _number(value: Decimal) -> float | int:
    """Twelve digits at most, which a float shows as they are."""
    return int(value) if value == value.to_integral_value() else float(value)


def _told(node: Node) -> Node:
    return {name: value for name, value in node.items() if value not in ("", [], {})}
