"""What a bench types into the fields is read rightly or refused in words that say how to type it,
and alike on the page and on the command line.

The readings stand in typed_inputs.yaml and were written by hand before a parser was run on them.
"""

import json
from decimal import Decimal as D
from pathlib import Path

import pytest
import yaml
from py_mini_racer import MiniRacer

from generator.numbers.typed import read, typed
from generator.numbers.units import exported, unit_table
from generator.site.pages.formula import field_data

HERE = Path(__file__).parent
ASSETS = HERE.parents[1] / "site_src" / "pages" / "assets"
LIST = yaml.load((HERE / "typed_inputs.yaml").read_text(encoding="utf-8"), Loader=yaml.CSafeLoader)
CASES = [
    (group["field"], text, wanted, None) for group in LIST for text, wanted in group["read"].items()
] + [
    (group["field"], text, None, words)
    for group in LIST
    for text, words in group["refused"].items()
]


@pytest.fixture(scope="module")
def table(knowledge):
    return unit_table(knowledge.words("units"), knowledge.words("asked_units"))


@pytest.fixture(scope="module")
def page(knowledge, table):
    engine = MiniRacer()
    engine.eval((ASSETS / "vendor/decimal.js").read_text(encoding="utf-8"))
    targets = {s.unit for f in knowledge.formulas.values() for s in f.symbols.values()}
    engine.eval(f"globalThis.benchUnits = {json.dumps(exported(table, targets))}")
    engine.eval((ASSETS / "forms.js").read_text(encoding="utf-8"))
    engine.eval("""
        function reading(text, symbol) {
          const q = benchForms.read(text, symbol);
          const ends = [q.low, q.high].map(end => end && end.toFixed());
          return JSON.stringify(q.fault ? q : [...ends, q.digits]);
        }
        """)
    return engine


def here_read(symbol, table, text):
    """(low, high, digits) or the refusal, from Python."""
    try:
        found = read(text, symbol, table)
    except ValueError as error:
        return str(error)
    return [found.low, found.high, found.digits]


def there_read(page, asked):
    """The same of each (text, field) from the page's script, in one call."""
    told = page.call("(list => list.map(([text, field]) => reading(text, field)))", asked)
    return [as_here(json.loads(each)) for each in told]


def as_here(there):
    """What the script found as Python tells it."""
    if isinstance(there, dict):
        return there["fault"]
    return [*(None if end is None else D(end) for end in there[:2]), there[2]]


def test_the_list_has_500_inputs():
    assert len(CASES) >= 500


def fault_of(here, there, wanted, words):
    """What is wrong with a reading; empty where it is right."""
    if here != there:
        return "the two sides differ"
    if words is not None:
        if not isinstance(here, str):
            return "silently read"
        return "" if words in here and "type" in here else "the refusal does not say how to type it"
    if isinstance(here, str):
        return "refused"
    ends = wanted if isinstance(wanted, list) else [wanted, wanted]
    near = all(
        (found is None) == (end is None)
        and (end is None or abs(float(found) - end) <= 1e-6 * abs(end) + 1e-12)
        for found, end in zip(here[:2], ends, strict=True)
    )
    return "" if near else "misread"


def test_what_a_bench_types_is_read_rightly_or_refused_on_both_sides(page, knowledge, table):
    """No silent misreading, and no difference between page and command line."""
    wrong, fields = [], {}
    for field in {case[0] for case in CASES}:
        formula, name = field.split(".")
        symbol = knowledge.formulas[formula].symbols[name]
        label = "" if symbol.unit == "1" else knowledge.words("units")[symbol.unit].label
        fields[field] = symbol, field_data(name, symbol, label)
    told = there_read(page, [(text, fields[field][1]) for field, text, *_ in CASES])
    for (field, text, wanted, words), there in zip(CASES, told, strict=True):
        here = here_read(fields[field][0], table, text)
        if fault := fault_of(here, there, wanted, words):
            wrong.append(
                (field, text, fault, here, there if here != there else "", wanted or words)
            )
    assert wrong == [], "\n".join(map(str, wrong))


@pytest.mark.slow
def test_every_unit_of_a_kind_converts_as_the_library_does(page, knowledge, table):
    """Against pint in binary floating point, and the page's script against both."""
    import pint

    registry, count = pint.UnitRegistry(), 0
    units = knowledge.words("units")

    def number(unit):
        text = units[unit].dimension
        if text in ("degC", "degF"):
            return registry.Quantity(3.0, text).to("kelvin").m
        found = registry.parse_expression(text)
        return 3.0 * (found.to_base_units().m if hasattr(found, "m") else found)

    for target in {s.unit for f in knowledge.formulas.values() for s in f.symbols.values()}:
        for spelling, unit in table.spellings[target].items():
            if unit == target:
                continue
            count += 1
            three = f"3e0 {spelling}" if spelling[0].isdigit() else f"3 {spelling}"
            back = float(typed(three, target, table).low)
            if units[target].dimension in ("degC", "degF"):
                back = registry.Quantity(back, units[target].dimension).to("kelvin").m
            else:
                back *= number(target) / 3.0
            assert back == pytest.approx(number(unit), rel=1e-12), (target, spelling)
            symbol = {"id": target, "range": ["-1e30", "1e30"], "example": "3", "shown": ""}
            found = json.loads(page.call("reading", three, symbol))
            here = typed(three, target, table)
            assert [D(found[0]), D(found[1]), found[2]] == [here.low, here.high, here.digits]
    assert count > 400
