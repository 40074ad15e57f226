/* The colour of a polished metal, where it is known; its name stands beside it. Pages with a list of metals load this. */
window.benchSwatch = function (id) {
  "use strict";
  const hue = (window.benchSwatches || {})[id];
  if (!hue) { return ""; }
  const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  const rect = document.createElementNS(svg.namespaceURI, "rect");
  const drawn = { width: "100%", height: "100%", fill: hue, class: "pic__swatch" };
  Object.entries(drawn).forEach(([name, value]) => { rect.setAttribute(name, value); });
  svg.setAttribute("class", "side__swatch");
  svg.setAttribute("aria-hidden", "true");
  svg.append(rect);
  return svg;
};
