"""Tables of JSON whose rows are lists: a matrix, or rows beside the list of their columns."""

from __future__ import annotations

from collections.abc import Sequence

from halfinch.readers.json_values import NAME_KEYS, Item, Row, escape, is_scalar, scalar, scalar_text


def is_matrix(items: Sequence[object]) -> bool:
    return len(items) > 1 and all(isinstance(row, list) and row and all(map(is_scalar, row)) for row in items)


def matrix_rows(items: Sequence[object], path: str) -> list[Row]:
    return [
        [scalar(cell, f"{path}/{i}/{j}") for j, cell in enumerate(row)]
        for i, row in enumerate(items)
        if isinstance(row, list)
    ]


def columns_and_rows(value: dict[str, object]) -> tuple[str, str]:
    """Two members of one object that are a header and its rows: ["Size", "Waist"] beside [["8", 28], ["10", 29]]."""
    for rows_key, rows in value.items():
        if not (isinstance(rows, list) and rows and all(isinstance(r, list) and all(map(is_scalar, r)) for r in rows)):
            continue
        width = max(len(row) for row in rows if isinstance(row, list))
        for key, columns in value.items():
            if key == rows_key or not isinstance(columns, list) or len(columns) != width or width < 2:
                continue
            if all(column_name(column) for column in columns[1:]):  # the corner may be empty
                return key, rows_key
    return "", ""


def column_name(column: object) -> str:
    if isinstance(column, dict):
        return next(
            (scalar_text(column[key]) for key in NAME_KEYS if is_scalar(column.get(key)) and column.get(key)), ""
        )
    return scalar_text(column) if is_scalar(column) else ""


def rows_under_columns(columns: object, rows: object, path: str, columns_key: str, rows_key: str) -> list[Row]:
    head, body = f"{path}/{escape(columns_key)}", f"{path}/{escape(rows_key)}"
    names = columns if isinstance(columns, list) else []
    header = [Item(column_name(name), f"{head}/{i}", header=True) for i, name in enumerate(names)]
    return [header, *matrix_rows(rows if isinstance(rows, list) else [], body)]
