"""The page of a process."""

from __future__ import annotations

from generator.records import models
from generator.site.page import Page, Site, record_page, trail
from generator.site.pictures import on_pages
from generator.verdicts.candidates import near
from generator.verdicts.conditions import applies


def process_page(site: Site, key: str) -> Page:
    """A process: the steps first, then the numbers and what goes wrong."""
    view, record = site.view, site.knowledge.processes[key]
    address = view.address("process", key)
    suits = (
        []
        if record.suits == models.When()
        else [m for m in site.fields.of_process(key) if applies(site.knowledge, record.suits, m)]
    )
    body = view.draw(
        "process",
        address,
        r=record,
        first=record.figures[:4],
        trail=trail("process", [], record.name),
        cautions=site.cautions(record, process=key),
        suits=suits,
        picture=on_pages.of_process(site, record),
        mentions=site.mentioned("process", key),
        siblings=[("process", k) for k in near(site.groups[record.group], key)],
    )
    return record_page(address, record, body)
