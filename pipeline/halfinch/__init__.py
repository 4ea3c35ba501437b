"""halfinch: suppliers' sheets in, a clean catalogue of exact inches out."""

__version__ = "0.1.0"
