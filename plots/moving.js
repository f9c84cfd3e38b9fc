// Moves a rig drawing with time. No library, no network; works on what plots/moving.py wrote.
//
//   const drawing = movingDrawing(svgElement, data);
//   drawing.show(1.25);            // the frame nearest to 1.25 s
//   drawing.reading(0);            // [{name, text}] of the frame that is shown, drawing.at its time in seconds
//   movingPlayer(root, drawing);   // play, pause, slider and keys, for the controls within root
"use strict";

function movingDrawing(svg, data) {
  const times = data.time_s;
  const value = (axis, frame) => (typeof axis === "number" ? axis : axis[frame]);
  const spot = (view, name, frame) => {
    const place = data.places[name];
    return [view.left + view.scale * value(place[view.across], frame), view.top - view.rise * value(place[view.up], frame)];
  };
  const between = (thing, frame) => {
    const view = data.views[thing.view], a = spot(view, thing.of[0], frame);
    if (thing.of.length === 1) return a;
    const b = spot(view, thing.of[1], frame);
    return [a[0] + thing.part * (b[0] - a[0]), a[1] + thing.part * (b[1] - a[1])];
  };
  const word = (x) => x.toFixed(2);

  const moves = {
    shift(thing, groups) {
      const start = between(thing, 0);
      return (frame) => {
        const now = between(thing, frame);
        const text = `translate(${word(now[0] - start[0])} ${word(now[1] - start[1])})`;
        groups.forEach((group) => group.setAttribute("transform", text));
      };
    },
    // From the suspension point to the lowest part: leaning, longer and shorter, as these two places are.
    body(thing, groups) {
      const view = data.views[thing.view];
      const top = spot(view, thing.of[0], 0), foot = spot(view, thing.of[1], 0);
      const high = foot[1] - top[1] || 1;
      return (frame) => {
        const up = spot(view, thing.of[0], frame), down = spot(view, thing.of[1], frame);
        const lean = (down[0] - up[0]) / high, stretch = (down[1] - up[1]) / high;
        const text = `matrix(1 0 ${lean.toFixed(5)} ${stretch.toFixed(5)} ` +
          `${word(up[0] - top[0] - lean * top[1])} ${word(up[1] - stretch * top[1])})`;
        groups.forEach((group) => group.setAttribute("transform", text));
      };
    },
    // Spans that bear are drawn as they were, slack and parted ones dotted.
    line(thing, groups) {
      const view = data.views[thing.view], taut = data.taut[thing.line];
      const path = groups[0].querySelector("path");
      const loose = path.cloneNode(false);
      loose.style.strokeDasharray = "0.8 3";
      loose.style.strokeWidth = "1";
      loose.removeAttribute("id");
      loose.setAttribute("data-loose", "");
      path.after(loose);
      const marks = Array.from(groups[0].querySelectorAll("use"));
      return (frame) => {
        const places = thing.of.map((name) => spot(view, name, frame));
        let bears = "", hangs = "";
        for (let k = 0; k + 1 < places.length; k += 1) {
          const piece = `M${places[k].map(word).join(" ")}L${places[k + 1].map(word).join(" ")}`;
          if (taut[k][frame]) bears += piece; else hangs += piece;
        }
        path.setAttribute("d", bears);
        loose.setAttribute("d", hangs);
        marks.forEach((mark, k) => {
          mark.setAttribute("x", word(places[k + 1][0]));
          mark.setAttribute("y", word(places[k + 1][1]));
        });
      };
    },
  };

  const things = data.things.map((thing) => {
    const groups = thing.ids.map((id) => svg.querySelector(`[id="${id}"]`)).filter(Boolean);
    return groups.length ? moves[thing.does](thing, groups) : () => {};
  });

  const nearest = (seconds) => {
    let low = 0, high = times.length - 1;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (times[middle] <= seconds) low = middle; else high = middle;
    }
    return Math.abs(times[high] - seconds) < Math.abs(times[low] - seconds) ? high : low;
  };

  const drawing = {
    frame: -1, at: times[0], start: times[0], end: times[times.length - 1], frames: times.length,
    show(seconds) { drawing.showFrame(nearest(seconds)); },
    showFrame(frame) {
      frame = Math.max(0, Math.min(times.length - 1, frame));
      if (frame === drawing.frame) return;
      drawing.frame = frame;
      drawing.at = times[frame];
      things.forEach((move) => move(frame));
    },
    reading() {
      return data.readings.map((each) => ({
        name: each.name, text: `${each.values[drawing.frame].toFixed(each.decimals)} ${each.unit}`.trim(),
      }));
    },
  };
  drawing.showFrame(0);
  return drawing;
}

function movingPlayer(root, drawing) {
  const part = (name) => root.querySelector(`[data-part="${name}"]`);
  const play = part("play"), slider = part("time"), speed = part("speed"), clock = part("clock");
  const cells = Array.from(root.querySelectorAll("[data-reading]"));
  const calm = window.matchMedia("(prefers-reduced-motion: reduce)");
  const STILL_S = 0.5; // of the move, between the pictures that are shown to who wants less motion
  let running = false, from = 0, since = 0;

  const tell = () => {
    const text = `${drawing.at.toFixed(2)} s`;
    clock.textContent = text;
    slider.value = String(drawing.at);
    slider.setAttribute("aria-valuetext", text);
    drawing.reading().forEach((each, k) => { if (cells[k]) cells[k].textContent = each.text; });
    root.dispatchEvent(new CustomEvent("moved", { detail: drawing.at }));
  };
  const to = (seconds) => { drawing.show(seconds); tell(); };
  const rate = () => Number(speed.value);
  const stop = () => {
    running = false;
    play.textContent = "Play";
    play.setAttribute("aria-pressed", "false");
  };
  const step = (now) => {
    if (!running) return;
    let seconds = from + (rate() * (now - since)) / 1000;
    if (seconds >= drawing.end) { to(drawing.end); stop(); return; }
    if (calm.matches) seconds = from + Math.floor((seconds - from) / STILL_S) * STILL_S;
    to(seconds);
    window.requestAnimationFrame(step);
  };
  const start = () => {
    if (drawing.at >= drawing.end) to(drawing.start);
    running = true;
    from = drawing.at;
    since = window.performance.now();
    play.textContent = "Pause";
    play.setAttribute("aria-pressed", "true");
    window.requestAnimationFrame(step);
  };
  const jump = (seconds) => { to(seconds); from = drawing.at; since = window.performance.now(); };

  play.addEventListener("click", () => (running ? stop() : start()));
  speed.addEventListener("change", () => jump(drawing.at));
  slider.addEventListener("input", () => jump(Number(slider.value)));
  root.querySelectorAll("[data-at]").forEach((button) => {
    button.addEventListener("click", () => { stop(); to(Number(button.dataset.at)); });
  });
  // Keys, wherever the focus is in the figure but where the key has a meaning of its own.
  root.addEventListener("keydown", (event) => {
    if (event.altKey || event.ctrlKey || event.metaKey || event.target === speed) return;
    const keys = {
      " ": () => (running ? stop() : start()),
      ArrowLeft: () => { stop(); drawing.showFrame(drawing.frame - 1); tell(); },
      ArrowRight: () => { stop(); drawing.showFrame(drawing.frame + 1); tell(); },
      Home: () => { stop(); to(drawing.start); },
      End: () => { stop(); to(drawing.end); },
    };
    if (!keys[event.key] || (event.key === " " && event.target.tagName === "BUTTON")) return;
    event.preventDefault();
    keys[event.key]();
  });
  tell();
  return { to, start, stop };
}
