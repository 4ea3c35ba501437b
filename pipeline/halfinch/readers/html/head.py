"""What a page says of itself in its head: title, site, address, description, language."""

from __future__ import annotations

import re

from halfinch.readers.html.output import Output
from halfinch.readers.html.tree import Tree

# meta name or property -> our key; the first that is met counts (Open Graph protocol, HTML standard, Dublin Core).
_META_KEYS = {
    "og:title": "og_title",
    "og:site_name": "site_name",
    "application-name": "application_name",
    "og:url": "og_url",
    "og:description": "og_description",
    "description": "description",
    "dc.description": "description",
    "dcterms.description": "description",
    "author": "author",
    "keywords": "keywords",
    "product:price:amount": "price",
    "og:price:amount": "price",
    "product:price:currency": "currency",
    "og:price:currency": "currency",
    "product:brand": "brand",
    "product:retailer_item_id": "item_code",
    "content-language": "language",
    "og:locale": "locale",
}
_PRINTED = ("title", "og_title", "site_name", "description", "og_description", "brand", "item_code")
_SAVED_FROM = re.compile(r"saved from url=\(\d+\)(\S+)")


def read_head(tree: Tree) -> dict[str, str]:
    """title, site_name, url, description, author, price, currency, language ... as far as the page says them."""
    meta: dict[str, str] = {}
    for node in tree.nodes:
        attrs = node.attrs
        if node.tag == "html":
            meta.setdefault("language", (attrs.get("lang") or attrs.get("xml:lang") or "").strip())
        elif node.tag == "title" and (node.parent is None or node.parent.tag in ("head", "html", "body")):
            meta.setdefault("title", tree.text_within(node, 500))
        elif node.tag == "meta":
            name = (attrs.get("property") or attrs.get("name") or attrs.get("http-equiv") or "").strip().lower()
            key, content = _META_KEYS.get(name), " ".join(attrs.get("content", "").split())[:2_000]
            if key and content and not meta.get(key):
                meta[key] = content
        elif node.tag == "link" and "canonical" in attrs.get("rel", "").lower().split():
            meta.setdefault("url", attrs.get("href", "").strip())
    if "og_url" in meta:
        meta.setdefault("url", meta["og_url"])
    for comment in tree.comments:
        if found := _SAVED_FROM.search(comment):
            meta.setdefault("url", found.group(1))
    meta.setdefault("title", meta.get("og_title", ""))
    language = meta.get("language") or meta.pop("locale", "")
    meta["language"] = re.split(r"[-_,;\s]", language.strip())[0].lower() if language else ""
    for passing in ("og_url", "locale"):
        meta.pop(passing, None)
    return {key: value for key, value in meta.items() if value}


def add_head_texts(meta: dict[str, str], out: Output) -> None:
    """The head's words as texts of kind ``meta``, each once."""
    for text in dict.fromkeys(meta[key] for key in _PRINTED if key in meta):
        out.add_text(text, "meta")
