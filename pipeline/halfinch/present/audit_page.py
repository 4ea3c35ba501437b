"""An audit as one self-contained HTML page: no script, nothing loaded from anywhere, readable in print."""

from __future__ import annotations

from typing import Any


def render_audit(audit: dict[str, Any]) -> str:
    """The page of `Audit.to_json()`: broken rules first, each with the rows that broke it."""
    from jinja2 import Environment, PackageLoader

    checks = sorted(audit["checks"], key=lambda check: check["passed"])
    broken = sum(not check["passed"] for check in checks)
    template = Environment(loader=PackageLoader("halfinch.present"), autoescape=True).get_template("audit.html")
    return template.render(audit=audit, checks=checks, broken=broken)
