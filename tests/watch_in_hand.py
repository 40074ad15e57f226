"""The watch sheet's thinking part is a page script; here it runs in an engine inside Python, for
tests, with what the site publishes for it."""

from __future__ import annotations

import json
from functools import cached_property

from py_mini_racer import MiniRacer

from generator.site import watch_sheet
from generator.site.page import Site
from tests.elimination import ASSETS, SCRIPTS

# The answers as plain data: parts by their ids, quantities as [low, high].
SUMMARY = """
const ends = q => q ? [q.low, q.high] : null, keys = parts => parts.map(p => p.key);
const id = row => row && row[0], ids = list => list.map(o => [o.part.key, o.how]);
const summary = a => ({
  parts: Object.fromEntries(a.parts.map(p => [p.key, {
    material: id(p.material), state: id(p.state), coating: id(p.coating),
    assumed: p.assumed, open: p.open, strange: p.strange }])),
  contacts: a.contacts.map(c => ({
    between: keys(c.pair), goes: c.goes && c.goes.key, other: c.other && c.other.key,
    degree: c.degree, level: c.level, usual: c.usual, worn: c.worn, cell: c.cell, where: c.where,
    all: c.all.map(x => [x.side < 0 ? null : c.pair[x.side].key, x.degree]) })),
  pores: a.pores.map(p => ({
    parts: keys(p.parts), coating: id(p.coating), base: id(p.base), level: p.level })),
  galls: a.galls.map(g => ({ pairs: g.pairs.map(keys), say: g.say, level: g.level })),
  places: a.places.map(p => ({ part: p.part.key, rung: p.rung, why: p.why, level: p.level })),
  life: a.life.map(l => ({
    parts: keys(l.parts), hazard: l.hazardId, material: id(l.material), verdict: l.verdict,
    how: l.how, level: l.level, by: l.by })),
  baths: a.baths.map(b => ({
    name: b.name, out: ids(b.out), harmed: ids(b.harmed),
    care: keys(b.care), may: keys(b.may), open: keys(b.open), say: b.said ? b.say : "" })),
  cautions: a.cautions.map(c => ({ id: c.id, parts: keys(c.parts), far: c.far })),
  misfits: a.misfits.map(m => ({ part: m.part.key, by: m.by })),
  open: keys(a.open),
  weights: {
    now: ends(a.weights.now), then: ends(a.weights.then), parts: keys(a.weights.parts),
    fine: Object.fromEntries(a.weights.fine.map(([s, q]) => [s, ends(q)])),
    cautions: a.weights.cautions.map(c => c.id) },
  rates: {
    worked: ends(a.rates.worked), measured: ends(a.rates.measured),
    cut: a.rates.cut, apart: a.rates.apart, missing: a.rates.missing },
  field: {
    attracted: a.field.attracted.map(f => [f.part.key, f.how]),
    bears: a.field.bears, open: keys(a.field.open) },
  work: {
    first: a.work.first, leave: a.work.leave.map(r => r[1].key),
    replace: a.work.replace.map(r => [r[1].key, r[2]]),
    test: a.work.test.map(r => [r[1].key, r[2]]) },
  findings: a.findings.map(f => ({
    level: f.level, kind: f.kind, title: f.title, text: f.text, look: f.look,
    parts: keys(f.parts), assumed: f.assumed })),
});
"""


def _parsed(value) -> str:
    """A value as the page gets it: by the reader of JSON, to which no key is special."""
    return f"JSON.parse({json.dumps(json.dumps(value))})"


class InHand:
    """The scripts of the watch sheet with the data of a site."""

    def __init__(self, site: Site):
        self.site = site
        self.data = watch_sheet.data(site)
        self._engine, self._known = MiniRacer(), set()
        for script in (*SCRIPTS, "watch.js", "watch-more.js", "watch-file.js"):
            self._engine.eval((ASSETS / script).read_text(encoding="utf-8"))
        self._engine.eval(SUMMARY)
        shared, signs = json.dumps(self.data), json.dumps(site.signs)
        self._engine.eval(f"const shared = {shared}, signs = {signs}, kinds = {{}};")

    @cached_property
    def _kinds(self) -> dict[str, dict]:
        return dict(watch_sheet.kinds(self.site))

    def _kind(self, watch: str) -> str:
        name = json.dumps(watch)
        if watch not in self._known:
            kind = json.dumps(self._kinds[watch])
            self._engine.eval(f"kinds[{name}] = benchWatch.ready(shared, {kind}, signs);")
            self._known.add(watch)
        return f"kinds[{name}]"

    def _call(self, words: str):
        return json.loads(self._engine.eval(f"JSON.stringify({words})"))

    def answers(self, sheet: dict, other: str = "") -> dict:
        """Every answer for a sheet; ``other`` is the metal in which the case is weighed again."""
        data = self._kind(sheet["watch"])
        given = f"{data}, {_parsed(sheet)}"
        found = f"benchMore.add({given}, benchWatch.answers({given}, signs), {json.dumps(other)})"
        return self._call(f"summary({found})")

    def narrowed(self, sheet: dict, part: str) -> dict:
        """What one part may be, by what was measured on it."""
        data = self._kind(sheet["watch"])
        words = _parsed(sheet)
        return self._call(
            f"(a => (n => ({{left: n.left.map(m => m[0]), next: n.next, out: n.out}}))"
            f"(benchWatch.narrowed({data}, signs, {words}, a.parts.find(p => p.key === "
            f"{json.dumps(part)}))))(benchWatch.answers({data}, {words}, signs))"
        )

    def empty(self, watch: str, **more) -> dict:
        """A new sheet."""
        made = self._call(f"benchSheet.empty({json.dumps(watch)}, 'now', '2026-11-26')")
        return {**made, **more}

    def read(self, text: str) -> dict:
        """What a text is read as: {sheet, said} or {fault}."""
        kinds = json.dumps([k for k, _ in self.data["kinds"]])
        return self._call(f"benchSheet.read({json.dumps(text)}, {kinds})")

    def write(self, sheet: dict) -> str:
        """The file of a sheet."""
        return self._call(f"benchSheet.write({_parsed(sheet)})")
