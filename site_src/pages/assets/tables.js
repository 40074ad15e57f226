/* Adds to the static tables of a page: the rows past the first screen, a filter line, sorting by header buttons, the choice of
   a reference, and the formula of a number that is opened. */
(function () {
  "use strict";

  /* A long table shows its first rows at once; the others join them when the page stands, or when they are asked for. */
  function whole(table) {
    const rest = table.querySelector("tbody.rest");
    if (!rest) { return; }
    table.tBodies[0].append.apply(table.tBodies[0], rest.children);
    rest.remove();
  }

  /* After the page stands; WebKit has no idle time to ask for. */
  function when_idle(act) {
    function wait() { if (window.requestIdleCallback) { requestIdleCallback(act, { timeout: 1000 }); } else { setTimeout(act, 50); } }
    if (document.readyState === "complete") { wait(); } else { window.addEventListener("load", wait); }
  }

  function complete(table) {
    const rest = table.querySelector("tbody.rest"), aim = document.getElementById(location.hash.slice(1));
    if (!rest) { return; }
    if (rest.contains(aim)) { whole(table); aim.scrollIntoView(); return; }
    table.tHead.addEventListener("click", () => { whole(table); });
    when_idle(() => { whole(table); });
  }

  function sort_button(cell) {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "sort";
    while (cell.firstChild) { button.appendChild(cell.firstChild); }
    cell.appendChild(button);
  }

  function buttons(table) {
    Array.prototype.forEach.call(table.tHead.rows[0].cells, (cell) => { if (!cell.classList.contains("no-sort") && !cell.querySelector(".sort")) { sort_button(cell); } });
    table.classList.add("sortable", "asc", "n-last");
  }

  function filter(table, box) {
    const line = document.createElement("p"), label = document.createElement("label"), input = document.createElement("input");
    const said = document.createElement("span");
    input.type = "search";
    input.className = "filter__input";
    input.id = "filter-" + table.id;
    label.htmlFor = input.id;
    label.textContent = "Show only rows with";
    said.setAttribute("role", "status");
    line.className = "filter";
    line.append(label, input, said);
    box.parentNode.insertBefore(line, box);
    /* What a row says on its face; the folded workings name other materials. */
    function face(row) {
      return Array.prototype.map.call(row.cells, (cell) => (cell.querySelector("summary, .way") || cell).textContent).join(" ").toLowerCase();
    }
    input.addEventListener("input", () => {
      whole(table);
      let words = input.value.toLowerCase().split(/\s+/).filter(Boolean), left = 0, rows = table.tBodies[0].rows;
      Array.prototype.forEach.call(rows, (row) => {
        const text = face(row);
        row.hidden = !words.every((word) => text.indexOf(word) >= 0);
        left += row.hidden ? 0 : 1;
      });
      said.textContent = words.length ? left + " of " + rows.length : "";
    });
  }

  function quantity(cell) {
    const d = cell.dataset;
    return { low: d.low === undefined ? null : +d.low, high: d.high === undefined ? null : +d.high, digits: +d.digits };
  }

  function place(row, cell, q) {
    let target = row.querySelector("[data-chosen]");
    if (!target) {
      target = row.insertCell(cell.cellIndex + 1);
      target.setAttribute("data-chosen", "");
      target.className = "num";
    }
    target.textContent = q ? benchCalc.shown(q, true) : "";
    target.dataset.sort = q ? String(q.low === null ? q.high : q.high === null ? q.low : (q.low + q.high) / 2) : "";
  }

  /* The reader chooses what to compare with; the figure cells carry their intervals, the table carries the program. */
  function chooser(table, box) {
    const program = JSON.parse(table.dataset.program), names = table.dataset.symbols.split(" ");
    const cells = Array.prototype.slice.call(table.querySelectorAll("td[data-base]"));
    let line = document.createElement("p"), label = document.createElement("label"), field;
    line.className = "filter";
    label.textContent = table.dataset.choose;
    label.htmlFor = "choose-" + table.id;
    if (table.dataset.kind === "number") {
      field = document.createElement("input");
      field.type = "text";
      field.inputMode = "decimal";
      field.value = table.dataset.start;
    } else {
      field = document.createElement("select");
      field.add(new Option("choose a material", ""));
      when_idle(() => {
        cells.forEach((cell, i) => { field.add(new Option(cell.parentNode.cells[0].textContent.trim(), String(i))); });
      });
    }
    field.id = label.htmlFor;
    field.className = "filter__input";
    const said = document.createElement("span");
    said.setAttribute("role", "status");
    line.append(label, field, said);
    box.parentNode.insertBefore(line, box);
    const head = document.createElement("th");
    head.scope = "col";
    head.textContent = table.dataset.result;
    /* The column comes with the first choice: a long table is laid out once, not twice. */
    function update() {
      let chosen;
      said.textContent = "";
      if (!head.parentNode) {
        sort_button(head);
        table.tHead.rows[0].cells[cells[0].cellIndex].after(head);
      }
      if (field.tagName === "SELECT") { chosen = field.value ? quantity(cells[+field.value]) : null; }
      else {
        const typed = field.value.trim().replace(",", ".");
        if (!/^\d{1,6}(\.\d{1,6})?$/.test(typed) || !(+typed > 0)) { said.textContent = "Type a volume above 0, such as 4.0"; return; }
        chosen = { low: +typed, high: +typed, digits: benchCalc.digitsOf(typed) };
      }
      cells.forEach((cell) => {
        const inputs = {};
        inputs[names[0]] = field.tagName === "SELECT" ? quantity(cell) : chosen;
        inputs[names[1]] = field.tagName === "SELECT" ? chosen : quantity(cell);
        place(cell.parentNode, cell, chosen && benchCalc.evaluate(program, inputs));
      });
    }
    field.addEventListener(field.tagName === "SELECT" ? "change" : "input", update);
    if (field.tagName !== "SELECT") { update(); }
  }

  /* The formula of an opened number goes before its inputs: a copy of the one that is set out below the table. */
  function set_out(box, name) {
    const formula = name && document.getElementById("formula-" + name);
    if (formula) { box.prepend.apply(box, Array.prototype.map.call(formula.children, (piece) => piece.cloneNode(true))); }
  }

  function opened(event) {
    const name = event.target.dataset && event.target.dataset.formula;
    if (name && !event.target.querySelector("math")) { set_out(event.target.querySelector(".working__in"), name); }
  }

  /* A number whose way of coming about is said below the table: the same, with the figures of its own row. */
  function worked(link) {
    const said = document.getElementById(link.hash.slice(1)), row = link.closest("tr");
    const box = document.createElement("div"), list = said.querySelector("ul").cloneNode(true);
    box.className = "working__in";
    list.querySelectorAll("[data-column]").forEach((item) => {
      const held = row.querySelector(".c" + item.dataset.column), unit = item.dataset.unit;
      item.textContent = item.dataset.label + ": " + held.querySelector(".num").textContent + (unit ? "\u00a0" + unit : "");
      held.querySelectorAll(".ref").forEach((ref) => { item.append(", ", document.getElementById(ref.hash.slice(1)).querySelector("a").cloneNode(true)); });
    });
    box.append(list);
    set_out(box, said.dataset.formula);
    return box;
  }

  document.addEventListener("click", (event) => {
    const link = event.target.closest("a.way"), open = link && link.parentNode.querySelector(".working__in");
    if (!link || event.ctrlKey || event.metaKey || event.shiftKey) { return; }
    event.preventDefault();
    link.setAttribute("aria-expanded", String(!open));
    if (open) { open.remove(); } else { link.after(worked(link)); }
  });
  document.addEventListener("toggle", opened, true);
  document.querySelectorAll("table.wide, table.matrix").forEach(complete);
  document.querySelectorAll("table.wide").forEach((table) => {
    const box = table.closest(".scroll") || table;
    if (table.dataset.program) { chooser(table, box); }
    buttons(table);
    if (table.rows.length > 9) { filter(table, box); }
  });
})();
