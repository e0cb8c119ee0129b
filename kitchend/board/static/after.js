"use strict";
// After the dinner: what happened when, against the plan, as bars and as a table.

let story = null;

function epoch(text) {
  return text === null ? null : Date.parse(text) / 1000;
}

async function load() {
  const answer = await fetch("/after/story", { cache: "no-store" });
  if (!answer.ok) return;
  story = (await answer.json()).story;
  if (story === null) fill("after", el("p", {}, say("after.none")));
  else show();
}

function off(seconds) {
  if (seconds === null) return "";
  if (Math.abs(seconds) < 60) return say("after.on time");
  return say(seconds > 0 ? "after.late" : "after.early", { time: span(Math.abs(seconds)) });
}

function at(text) {
  return text === null ? "–" : nearMinute(epoch(text), story.offset);
}

function show() {
  const day = new Date((epoch(story.serve) + story.offset) * 1000).toLocaleDateString(document.documentElement.lang, { timeZone: "UTC", weekday: "long", day: "numeric", month: "long" });
  const place = document.getElementById("after");
  const head = el("p", { class: "sum" }, el("b", {}, say("after.of", { plan: story.plan, day })), " ",
    say("after.served", { serve: at(story.serve), served: at(story.served) }), " ", off(story.late_by_s));
  const file = el("p", {}, el("a", { href: "/after/story.csv", class: "button", download: "dinner.csv" }, say("after.file")));
  const key = el("ul", { class: "key" }, ...["planned", "was"].map((sign) => el("li", {}, el("span", { class: `sign after-${sign}`, "aria-hidden": "true" }), say(`after.key.${sign}`))));
  const chart = el("div", { id: "chart" });
  place.replaceChildren(head, chart, key, el("div", { class: "wide" }, table()), ...holds(), file);
  const drawn = drawStory(drawnWidth(chart));
  if (drawn !== null) chart.append(drawn);
}

function holds() {
  const told = story.holds.map((one) => `${one.step}: ${say("held", { held: span(one.held_s), needed: span(one.needed_s), degrees: one.degrees, source: one.source })}`);
  return (told.length ? [...told, say("guidance")] : []).map((text) => el("p", {}, text));
}

function table() {
  const head = ["column.step", "after.planned", "after.was", "after.off", "column.state"].map((key) => el("th", { scope: "col" }, say(key)));
  const rows = story.steps.map((one) => el("tr", {}, el("th", { scope: "row" }, one.step),
    el("td", {}, `${at(one.planned[0])}–${at(one.planned[1])}`),
    el("td", {}, one.was[0] === null ? at(one.was[1]) : `${at(one.was[0])}–${at(one.was[1])}`),
    el("td", {}, off(one.off_s)), el("td", {}, say(`state.${one.state}`))));
  return el("table", {}, el("thead", {}, el("tr", {}, ...head)), el("tbody", {}, ...rows));
}

function drawStory(width) {
  const times = story.steps.flatMap((one) => [...one.planned, ...one.was]).filter(Boolean).map(epoch);
  if (!times.length) return null;
  const narrow = width < 620;
  const left = narrow ? 4 : Math.min(300, width * 0.28);
  const [t0, t1] = [Math.min(...times), Math.max(...times, epoch(story.serve), Math.min(...times) + 600)];
  const x = (moment) => left + ((moment - t0) / (t1 - t0)) * (width - left - 8);
  const parts = [];
  let y = 30;
  for (const one of story.steps) {
    parts.push(draw("text", { x: 4, y: y + 16, class: "name" }, one.step));
    const top = narrow ? y + 22 : y + 2;
    for (const [times2, name, by, high] of [[one.planned, "after-planned", 0, 8], [one.was, "after-was", 10, 11]]) {
      const [a, b] = times2.map(epoch);
      if (a === null && b === null) continue;
      const [from, to] = [x(a === null ? b : a), x(b === null ? a : b)];
      parts.push(draw("rect", { x: from, y: top + by, width: Math.max(3, to - from), height: high, rx: 2, class: name }));
    }
    y += narrow ? 48 : 28;
  }
  const back = [];
  for (const moment of ticks(t0, t1, story.offset, narrow ? 5 : 10)) {
    back.push(draw("line", { x1: x(moment), y1: 22, x2: x(moment), y2: y, class: "grid" }));
    if (x(moment) > left + 14 && x(moment) < width - 20) back.push(draw("text", { x: x(moment), y: 16, class: "hour" }, clock(moment, story.offset)));
  }
  for (const by of [-2, 2]) back.push(draw("line", { x1: x(epoch(story.serve)) + by, y1: 22, x2: x(epoch(story.serve)) + by, y2: y, class: "pass" }));
  return draw("svg", { viewBox: `0 0 ${width} ${y + 4}`, role: "img", "aria-label": say("after.chart") }, ...back, ...parts);
}

window.addEventListener("resize", () => { if (story !== null) show(); });
load();
