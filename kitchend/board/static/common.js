"use strict";
// What all pages share: words, elements made of words only, spans and clocks, requests, bars of a timeline.

const words = JSON.parse(document.body.dataset.words);
const SVG = "http://www.w3.org/2000/svg";

function say(key, facts = {}) {
  return words[key].replace(/\{(\w+)\}/g, (whole, name) => (name in facts ? String(facts[name]) : whole));
}

// An element; children are nodes or words, never markup.
function el(name, attributes = {}, ...inside) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (value !== null && value !== undefined) made.setAttribute(key, value);
  }
  made.append(...inside.filter((one) => one !== null));
  return made;
}

function draw(name, attributes = {}, ...inside) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) {
    made.setAttribute(key, typeof value === "number" ? Math.round(value * 10) / 10 : value);
  }
  made.append(...inside);
  return made;
}

function fill(id, ...inside) {
  document.getElementById(id).replaceChildren(...inside);
}

function put(id, text) {
  const place = document.getElementById(id);
  if (place.textContent !== text) place.textContent = text;
}

function span(seconds) {
  const whole = Math.max(0, Math.round(seconds));
  if (whole < 60) return say("seconds", { s: whole });
  const minutes = Math.round(whole / 60);
  if (minutes < 60) return say("minutes", { m: minutes });
  return say("hours", { h: Math.floor(minutes / 60), m: minutes % 60 });
}

// A moment of kitchend's clock as its own wall shows it, whatever zone this device is in.
function clock(epoch, offset, withSeconds = false) {
  const shown = new Date((epoch + offset) * 1000).toISOString();
  return withSeconds ? shown.slice(11, 19) : shown.slice(11, 16);
}

function nearMinute(epoch, offset) {
  return clock(epoch + 30, offset);
}

function countdown(seconds) {
  const whole = Math.abs(Math.round(seconds));
  const [h, m, s] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60, whole % 60];
  const two = (n) => String(n).padStart(2, "0");
  const shown = h ? `${h}:${two(m)}:${two(s)}` : `${m}:${two(s)}`;
  return seconds < -0.5 ? `+${shown}` : shown;
}

async function post(path, value) {
  const headers = { "content-type": "application/json" };
  const answer = await fetch(path, { method: "POST", headers, body: JSON.stringify(value) });
  const found = await answer.json().catch(() => ({}));
  return { ok: answer.ok, status: answer.status, ...found };
}

// --- the timeline -------------------------------------------------------------------------------------------

const STEPS = [300, 600, 900, 1800, 3600, 7200, 14400, 21600, 43200, 86400];

function spanOf(bars, more) {
  const begin = Math.min(...bars.map((bar) => bar.start), ...more);
  const end = Math.max(...bars.map((bar) => bar.end + (bar.stands || 0)), ...more, begin + 600);
  const margin = (end - begin) * 0.015;
  return [begin - margin, end + margin];
}

function ticks(begin, end, offset, most) {
  const every = STEPS.find((step) => (end - begin) / step <= most) || 86400;
  const found = [];
  for (let at = Math.ceil((begin + offset) / every) * every - offset; at <= end; at += every) found.push(at);
  return found;
}

function patterns(id) {
  const lines = draw("path", { d: "M-1 1 l2 -2 M0 7 l7 -7 M6 8 l2 -2", class: "hatch" });
  const back = draw("rect", { width: 7, height: 7, class: "hatch-back" });
  return draw("defs", {}, draw("pattern", { id, width: 7, height: 7, patternUnits: "userSpaceOnUse" }, back, lines));
}

function barOf(bar, x, y, height, offset) {
  const left = x(bar.start);
  const width = Math.max(3, x(bar.end) - left);
  const box = { x: left, y, height, rx: 2 };
  const told = `${bar.name}: ${nearMinute(bar.start, offset)}–${nearMinute(bar.end, offset)}, ${bar.state_words}`;
  const made = draw("g", { class: `bar ${bar.state}${bar.decides ? " decides" : ""}` }, draw("title", {}, told));
  if (bar.stands > 0 && bar.state !== "done" && bar.state !== "dropped") {
    const middle = y + height / 2;
    made.append(draw("line", { x1: left + width + 3, y1: middle, x2: x(bar.end + bar.stands), y2: middle, class: "stands" }));
  }
  const body = draw("rect", { ...box, width, class: "runs" });
  if (bar.state !== "done" && bar.state !== "dropped") body.setAttribute("fill", "url(#runs)");
  made.append(body);
  if (bar.hands > bar.start) {
    made.append(draw("rect", { ...box, width: Math.max(3, Math.min(width, x(bar.hands) - left)), class: "hands" }));
  }
  made.append(draw("rect", { ...box, width, class: "frame" }));
  if (bar.state === "done" && width > 16) {
    const [cx, cy] = [left + width / 2, y + height / 2];
    made.append(draw("path", { d: `M${cx - 5} ${cy} l3.5 4 l6.5 -8`, class: "tick" }));
  }
  return made;
}

// How many units wide a drawing is here: where letters are larger, so are its own.
function drawnWidth(place) {
  const unit = parseFloat(getComputedStyle(document.documentElement).fontSize) / 18;
  return Math.max(280, place.clientWidth / Math.max(1, unit));
}

// The name of a line, with whose hands it is for.
function nameOf(line) {
  const cooks = [...new Set(line.bars.map((bar) => bar.cook).filter(Boolean))];
  return cooks.length ? `${line.name} (${cooks.join(", ")})` : line.name;
}

// How many letters wide a name is; those of Hangul and its neighbours take the place of almost two.
function letters(name) {
  return [...name].reduce((sum, letter) => sum + (letter > "\u1100" ? 1.75 : 1), 0);
}

// As much of a name as has room for so many letters.
function cutTo(name, most) {
  if (letters(name) <= most) return name;
  let kept = name;
  while (kept && letters(kept) > most - 1) kept = kept.slice(0, -1);
  return `${kept}…`;
}

// The whole drawing, as wide as its place. Narrow places get each name above its bar.
function timelineOf(timeline, offset, now, width) {
  const bars = timeline.dishes.flatMap((dish) => dish.lines.flatMap((line) => line.bars));
  if (!bars.length) return null;
  const narrow = width < 620;
  const names = timeline.dishes.flatMap((dish) => dish.lines.map((line) => nameOf(line)));
  const left = narrow ? 4 : Math.min(width * 0.4, 34 + Math.max(...names.map(letters)) * 8.2);
  const [begin, end] = spanOf(bars, [...timeline.passes, ...(now === null ? [] : [now])]);
  const x = (at) => left + ((at - begin) / (end - begin)) * (width - left - 6);
  const row = narrow ? 44 : 30;
  const parts = [];
  let y = 44;
  for (const dish of timeline.dishes) {
    parts.push(draw("text", { x: 4, y: y + 18, class: "dish" }, dish.name));
    y += 26;
    for (const line of dish.lines) {
      const decides = line.bars.some((bar) => bar.decides);
      const shown = nameOf(line);
      const name = draw("text", { x: narrow ? 8 : 16, y: y + 17, class: decides ? "name strong" : "name" }, shown);
      if (!narrow) name.append(draw("title", {}, shown));
      parts.push(name);
      const top = narrow ? y + 22 : y + 3;
      parts.push(...line.bars.map((bar) => barOf(bar, x, top, narrow ? 16 : 20, offset)));
      y += row;
    }
    y += 6;
  }
  if (timeline.lanes.length) {
    parts.push(draw("text", { x: 4, y: y + 20, class: "dish" }, say("lanes")));
    y += 28;
    for (const lane of timeline.lanes) y = laneOf(lane, x, y, narrow, offset, parts);
  }
  const back = [];
  for (const at of ticks(begin, end, offset, narrow ? 5 : 10)) {
    back.push(draw("line", { x1: x(at), y1: 26, x2: x(at), y2: y, class: "grid" }));
    if (x(at) > left + 14 && x(at) < width - 20) back.push(draw("text", { x: x(at), y: 20, class: "hour" }, clock(at, offset)));
  }
  for (const at of timeline.passes) {
    for (const by of [-2, 2]) back.push(draw("line", { x1: x(at) + by, y1: 26, x2: x(at) + by, y2: y, class: "pass" }));
  }
  const front = now === null ? [] : [
    draw("line", { x1: x(now), y1: 30, x2: x(now), y2: y, class: "now" }),
    draw("path", { d: `M${x(now) - 7} 24 h14 l-7 10 z`, class: "now-head" }),
  ];
  return draw("svg", { viewBox: `0 0 ${width} ${y + 6}`, role: "img", "aria-label": say("timeline.told") },
    patterns("runs"), ...back, ...parts, ...front);
}

function laneOf(lane, x, y, narrow, offset, parts) {
  const places = Math.max(1, Math.min(6, lane.places));
  const free = new Array(places).fill(-Infinity);
  const height = places > 1 ? 19 : 22;
  parts.push(draw("text", { x: narrow ? 8 : 16, y: y + 16, class: "name" }, lane.name));
  const top = narrow ? y + 22 : y;
  for (const bar of [...lane.bars].sort((a, b) => a.start - b.start)) {
    let at = free.findIndex((until) => until <= bar.start + 1);
    if (at < 0) at = free.indexOf(Math.min(...free));
    const takes = Math.min(places - at, Math.max(1, bar.places));
    for (let i = at; i < at + takes; i += 1) free[i] = bar.end;
    const shown = bar.at ? `${bar.name}, ${bar.at}` : bar.name;
    const told = `${shown}: ${nearMinute(bar.start, offset)}–${nearMinute(bar.end, offset)}`;
    const [bx, bw] = [x(bar.start), Math.max(3, x(bar.end) - x(bar.start))];
    const box = draw("rect", { x: bx, y: top + at * height, width: bw, height: takes * height - 3, rx: 2, class: "lane" });
    box.append(draw("title", {}, told));
    parts.push(box);
    if (bw > 60) {
      const label = bar.at || bar.name;
      parts.push(draw("text", { x: bx + 5, y: top + at * height + (height - 3) / 2 + 4.5, class: "in-lane" }, cutTo(label, bw / 8)));
    }
  }
  return top + places * height + 8;
}

function keyOf(withDone = true) {
  const made = el("ul", { class: "key" });
  for (const sign of ["hands", "runs", "stands", "decides", ...(withDone ? ["done", "now"] : [])]) {
    made.append(el("li", {}, el("span", { class: `sign ${sign}`, "aria-hidden": "true" }), say(`key.${sign}`)));
  }
  return made;
}

function tableOf(timeline, offset) {
  const bars = timeline.dishes.flatMap((dish) => dish.lines.flatMap((line) => line.bars));
  const hasCooks = bars.some((bar) => bar.cook);
  const head = ["step", "start", "end", "state", ...(hasCooks ? ["cook"] : [])].map((key) => el("th", { scope: "col" }, say(`column.${key}`)));
  const rows = bars.sort((a, b) => a.start - b.start).map((bar) => el("tr", {},
    el("th", { scope: "row" }, bar.name),
    el("td", {}, nearMinute(bar.start, offset)),
    el("td", {}, nearMinute(bar.end, offset)),
    el("td", {}, bar.state_words),
    hasCooks ? el("td", {}, bar.cook) : null));
  return el("table", {}, el("thead", {}, el("tr", {}, ...head)), el("tbody", {}, ...rows));
}

// The drawing, its key, and the same as a table that stays open once opened.
function showTimeline(id, timeline, offset, now) {
  const place = document.getElementById(id);
  const was = place.querySelector("details");
  const drawn = timelineOf(timeline, offset, now, drawnWidth(place));
  if (drawn === null) return;
  const more = el("details", {}, el("summary", {}, say("timeline.table")), el("div", { class: "wide" }, tableOf(timeline, offset)));
  more.open = was !== null && was.open;
  const focused = was !== null && was.contains(document.activeElement);
  place.replaceChildren(drawn, keyOf(now !== null), more);
  if (focused) more.querySelector("summary").focus();
}
