"""The page of a kind of watch: its parts with what they are usually made of, and what touches
what."""

from __future__ import annotations

from generator.site.page import Page, Site, record_page, trail


def watch_page(site: Site, key: str) -> Page:
    """A kind of watch: parts, then contacts."""
    record = site.knowledge.watches[key]
    address = site.view.address("watch", key)
    names = {part.key: part.name or site.knowledge.parts[part.part].name for part in record.parts}
    body = site.view.draw(
        "watch_kind",
        address,
        r=record,
        names=names,
        cautions=site.cautions(record),
        siblings=[("watch", k) for k in site.knowledge.watches if k != key],
        trail=trail("watch", [], record.name),
    )
    return record_page(address, record, body)
