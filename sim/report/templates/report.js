"use strict";
// Tables: a click on a head sorts by it, numbers as numbers.
for (const table of document.querySelectorAll("table.sortable")) {
  table.querySelectorAll("thead th").forEach((head, column) => {
    if (!head.textContent) return;
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = head.textContent;
    head.replaceChildren(button);
    button.addEventListener("click", () => {
      const up = head.getAttribute("aria-sort") !== "ascending";
      const body = table.tBodies[0];
      const key = (row) => {
        const cell = row.cells[column];
        return cell.dataset.sort === undefined ? cell.textContent : Number(cell.dataset.sort);
      };
      const order = (a, b) => (typeof a === "number" && typeof b === "number" ? a - b : String(a).localeCompare(String(b)));
      const rows = [...body.rows].sort((a, b) => (up ? 1 : -1) * order(key(a), key(b)));
      table.querySelectorAll("th").forEach((each) => each.removeAttribute("aria-sort"));
      head.setAttribute("aria-sort", up ? "ascending" : "descending");
      body.append(...rows);
    });
  });
}
// One time cursor for all figures: the pointer over any of them, or the slider, moves it.
const histories = JSON.parse(document.getElementById("histories").textContent);
const figures = [...document.querySelectorAll("figure[data-axes]")].map((figure) => {
  const axes = JSON.parse(figure.dataset.axes);
  const layer = figure.querySelector(".cursors");
  const lines = axes.map((place) => {
    const line = document.createElement("i");
    line.style.top = `${100 * place.top}%`;
    line.style.height = `${100 * place.height}%`;
    line.hidden = true;
    layer.append(line);
    return line;
  });
  return { figure, axes, lines, history: histories.cases[figure.dataset.case], readout: figure.querySelector(".readout") };
});
// The rig drawing of a case moves with the cursor.
const listeners = [];
for (const stage of document.querySelectorAll(".stage")) {
  const drawing = movingDrawing(stage.querySelector("svg"), JSON.parse(stage.querySelector("script").textContent));
  listeners.push((time) => drawing.show(Math.min(time, drawing.end)));
}
const clock = document.querySelector(".clock");
const slider = document.getElementById("clock");
const told = clock.querySelector("output");
const shown = (value, decimals) => {
  const text = value.toFixed(decimals);
  return histories.mark === "comma" ? text.replace(".", ",") : text;
};
function moveTo(time) {
  slider.value = String(time);
  told.textContent = `${shown(time, 3)} s`;
  for (const { axes, lines, history, readout } of figures) {
    axes.forEach((place, i) => {
      const at = (time - place.from_s) / (place.to_s - place.from_s);
      lines[i].hidden = at < 0 || at > 1;
      lines[i].style.left = `${100 * (place.left + at * place.width)}%`;
    });
    if (history && readout) readout.textContent = inWords(history, time);
  }
  for (const listener of listeners) listener(time);
}
function inWords(history, time) {
  const last = history.time_s.length - 1;
  if (time > history.time_s[last]) return `${shown(time, 3)} s: after the end of this run`;
  let low = 0, high = last;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (history.time_s[middle] <= time) low = middle; else high = middle;
  }
  const span = history.time_s[high] - history.time_s[low];
  const part = span > 0 ? Math.min(1, Math.max(0, (time - history.time_s[low]) / span)) : 0;
  const words = history.curves.map((curve) => {
    const a = curve.values[low], b = curve.values[high];
    return a === null || b === null ? "" : `${curve.name} ${shown(a + part * (b - a), curve.decimals)} ${curve.sign}`.trim();
  });
  return `${shown(time, 3)} s: ${words.filter(Boolean).join(" · ")}`;
}
if (figures.length) {
  clock.hidden = false;
  slider.max = String(Math.max(...figures.flatMap(({ axes }) => axes.map((place) => place.to_s))));
  slider.addEventListener("input", () => moveTo(Number(slider.value)));
  for (const { figure, axes } of figures) {
    const sheet = figure.querySelector(".paper");
    const follow = (event) => {
      const box = sheet.querySelector("svg").getBoundingClientRect();
      const place = axes[0];
      const at = ((event.clientX - box.left) / box.width - place.left) / place.width;
      if (at >= 0 && at <= 1) moveTo(place.from_s + at * (place.to_s - place.from_s));
    };
    sheet.addEventListener("pointermove", follow);
    sheet.addEventListener("pointerdown", follow);
  }
}
