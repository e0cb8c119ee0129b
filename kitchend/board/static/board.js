"use strict";
// Now and next. Shows the newest view, counts on by itself between views, says how old it is, and finds back.

const OLD_S = 12;
const LOST_MS = [500, 1000, 2000, 4000, 5000];
const JUMP_S = 2.5;

let view = null;
let base = null; // kitchend's clock, and both of this device's, when the view came
let source = null;
let failures = 0;
let announced = null; // number of the last line a screen reader was given
let isGone = false;
let drawnFor = "";

// Seconds since the view came. A device that slept counts on by its wall clock, one whose clock was set does not:
// where nobody can tell, the longer of the two is taken, for a call too early is better than one too late.
function sinceView() {
  const ran = (performance.now() - base.ran) / 1000;
  const wall = (Date.now() - base.wall) / 1000;
  const jumped = Math.abs(wall - ran) > JUMP_S;
  return { s: Math.max(0, jumped ? Math.max(ran, wall) : ran), jumped };
}

function kitchenNow() {
  return view.now + sinceView().s;
}

// --- listening ----------------------------------------------------------------------------------------------

function listen() {
  if (source !== null) source.close();
  source = new EventSource("/events");
  source.addEventListener("view", (event) => {
    failures = 0;
    take(JSON.parse(event.data));
  });
  source.addEventListener("gone", sentAway);
  source.onerror = () => {
    source.close();
    source = null;
    const wait = LOST_MS[Math.min(failures, LOST_MS.length - 1)];
    failures += 1;
    setTimeout(listenAgain, wait);
  };
}

async function listenAgain() {
  if (isGone || source !== null) return;
  try {
    const answer = await fetch("/view", { cache: "no-store" });
    if (answer.status === 401) return sentAway();
  } catch (error) {
    // the network is away: the source will tell
  }
  if (source === null) listen();
  return undefined;
}

function sentAway() {
  isGone = true;
  if (source !== null) source.close();
  showOld(say("gone"));
}

function wakeUp() {
  if (isGone || document.visibilityState === "hidden" || base === null) return;
  const { s, jumped } = sinceView();
  if (s > OLD_S || jumped) listen();
}

// --- a view -------------------------------------------------------------------------------------------------

function take(next) {
  if (!("now" in next)) return;
  const restarted = view !== null && view.run !== next.run;
  view = next;
  base = { ran: performance.now(), wall: Date.now() };
  if (restarted) announced = 0;
  showTop();
  showAsked();
  showCareful();
  showGoing();
  showComing();
  showTalk();
  showPresses("presses", view.presses);
  announce();
  showWhole();
  showReadings();
  tick();
}

function showTop() {
  const pass = view.pass;
  document.getElementById("top").classList.toggle("late", pass !== null && pass.is_late);
  put("pass-at", pass === null ? "–" : nearMinute(pass.at[0], view.offset));
  put("pass-words", pass === null ? say("no dinner") : pass.words);
  put("pass-more", pass === null ? "" : [view.plan, pass.chance, pass.done].filter(Boolean).join(" · "));
  const each = pass === null ? [] : pass.each;
  renew("pass-each", JSON.stringify(each), () => each.map((one) => el("p", {},
    el("b", {}, nearMinute(one.at, view.offset)), ` ${one.dishes.join(", ")}: ${one.words}`)));
}

function showCareful() {
  document.getElementById("careful").hidden = view.careful.length === 0;
  renew("careful-text", JSON.stringify(view.careful), () => view.careful.map((text) => el("p", {}, text)));
}

function pressOf(press, name) {
  const button = el("button", { type: "button", "data-key": `${press.key} ${press.words}`, class: `press ${press.key.split(" ")[0]}` }, press.label);
  if (name) button.setAttribute("aria-label", say("press.of", { label: press.label, name }));
  button.addEventListener("click", () => tell(press.words, button));
  return button;
}

// Puts nodes in place of those there only where something has changed, and gives the focus back.
function renew(id, signature, make) {
  const place = document.getElementById(id);
  if (place.dataset.shown === signature) return;
  const focused = place.contains(document.activeElement) ? document.activeElement.dataset.key : null;
  place.replaceChildren(...make());
  place.dataset.shown = signature;
  if (focused) {
    const same = [...place.querySelectorAll("[data-key]")].find((one) => one.dataset.key === focused);
    (same || place.querySelector("button") || document.getElementById("on")).focus();
  }
}

function showPresses(id, presses, name = null) {
  renew(id, JSON.stringify(presses), () => presses.map((press) => pressOf(press, name)));
}

function showAsked() {
  const place = document.getElementById("asked");
  place.hidden = view.asked === null;
  if (view.asked === null) return;
  put("asked-text", view.asked.text);
  showPresses("asked-presses", view.asked.presses);
}

function showGoing() {
  const still = view.going.map(({ due, left_s, ends, ...rest }) => ({ ...rest, runs: due !== null, left_s }));
  renew("going", JSON.stringify([still, view.plan]), () => (view.going.length ? view.going.map(cardOf) : [nothing()]));
  put("guidance", view.guidance || "");
}

function nothing() {
  const how = view.plan === null ? say("no dinner.how", { address: view.ears.address }) : null;
  return el("p", { class: "nothing" }, say("going.none"), how === null ? null : el("span", {}, ` ${how}`));
}

function cardOf(one) {
  const facts = [one.dish, ...one.facts].filter((fact) => fact && fact !== one.name);
  const head = el("div", { class: "what" },
    el("span", { class: "state" }, one.state_words),
    el("h3", {}, one.name),
    el("p", { class: "facts" }, facts.join(" · ")));
  const time = el("p", { class: "left", "data-of": one.id }, "");
  const presses = el("div", { class: "presses" }, ...one.presses.map((press) => pressOf(press, one.name)));
  return el("article", { class: `card ${one.state}${one.is_careful ? " careful" : ""}` }, head, time, presses);
}

function showComing() {
  const shown = JSON.stringify(view.coming);
  renew("coming", shown, () => {
    if (!view.coming.length) return [el("p", { class: "nothing" }, say("next.none"))];
    return [el("ol", {}, ...view.coming.map((step) => el("li", {},
      el("span", { class: "when", "data-at": step.at }, ""),
      el("span", { class: "name" }, step.cook ? `${step.name} (${step.cook})` : step.name),
      el("span", { class: "at" }, nearMinute(step.at, view.offset)))))];
  });
}

function showTalk() {
  const lines = view.talk.slice(-4);
  renew("talk", JSON.stringify(lines), () => {
    if (!lines.length) return [el("li", { class: "nothing" }, say("talk.none"))];
    return lines.map((line) => el("li", { class: line.who },
      el("span", { class: "who" }, line.kind === "careful" ? `${say(line.who)}, ${say("state.careful")}` : say(line.who)),
      el("q", {}, line.text)));
  });
  put("mouth", view.mouth || "");
  const tone = view.tone;
  put("tone", tone === null ? "" : say(tone.key, { clock: tone.until === null ? "" : nearMinute(tone.until, view.offset) }));
}

// What kitchend says goes to a screen reader line by line, in the order the voice has.
function announce() {
  const last = view.talk.length ? view.talk[view.talk.length - 1].n : 0;
  if (announced === null) {
    announced = last;
    return;
  }
  const place = document.getElementById("calls");
  for (const line of view.talk) {
    if (line.n > announced && line.who === "kitchend") place.append(el("p", {}, line.text));
  }
  while (place.childElementCount > 8) place.firstElementChild.remove();
  announced = Math.max(announced, last);
}

function showWhole() {
  const place = document.getElementById("whole");
  place.hidden = view.timeline === null || !view.timeline.dishes.length;
  if (place.hidden) return;
  const width = document.getElementById("timeline").clientWidth;
  const signature = JSON.stringify([view.timeline, width, Math.round(view.now / 20)]);
  if (signature === drawnFor) return;
  drawnFor = signature;
  showTimeline("timeline", view.timeline, view.offset, view.now);
}

function showReadings() {
  document.getElementById("read").hidden = view.readings.length === 0;
  const holds = view.holds.length ? view.holds.map((text) => el("p", { class: "held" }, text)) : [];
  const width = drawnWidth(document.getElementById("readings"));
  renew("readings", JSON.stringify([view.readings, view.holds, width]), () => [...view.readings.map((plot) => plotOf(plot, width)), ...holds]);
}

function plotOf(plot, most) {
  const [width, height, left, bottom] = [Math.min(560, most), 200, 44, 24];
  const forecast = plot.forecast || [];
  const aim = plot.off === null ? plot.target : plot.off;
  const times = [...plot.points.map((point) => point.at), ...forecast, view.now];
  const degrees = [...plot.points.map((point) => point.celsius), ...(plot.target === null ? [] : [plot.target])];
  const [t0, t1] = [Math.min(...times), Math.max(...times, Math.min(...times) + 600)];
  const [d0, d1] = [Math.min(...degrees) - 5, Math.max(...degrees) + 5];
  const x = (at) => left + ((at - t0) / (t1 - t0)) * (width - left - 28); // half a time of day fits beside the last moment
  const y = (d) => 10 + ((d1 - d) / (d1 - d0)) * (height - bottom - 10);
  const parts = [draw("line", { x1: left, y1: height - bottom, x2: width, y2: height - bottom, class: "grid" })];
  for (const at of ticks(t0, t1, view.offset, width < 400 ? 3 : 5)) parts.push(draw("text", { x: x(at), y: height - 6, class: "hour" }, clock(at, view.offset)));
  const last = plot.points[plot.points.length - 1];
  if (plot.target !== null) {
    parts.push(draw("line", { x1: left, y1: y(plot.target), x2: width, y2: y(plot.target), class: "target" }));
    parts.push(draw("text", { x: 2, y: y(plot.target) + 5, class: "name" }, String(Math.round(plot.target))));
    if (forecast.length) {
      const [a, b] = forecast.map(x);
      parts.push(draw("path", { d: `M${x(last.at)} ${y(last.celsius)} L${a} ${y(aim)} H${Math.max(b, a + 4)} Z`, class: "spread" }));
      if (plot.likely !== null) {
        const m = x(plot.likely);
        parts.push(draw("path", { d: `M${x(last.at)} ${y(last.celsius)} L${m} ${y(aim)} V${height - bottom}`, class: "likely" }));
        parts.push(draw("text", { x: m, y: height - bottom - 6, class: "hour" }, nearMinute(plot.likely, view.offset)));
      }
    }
  }
  parts.push(draw("polyline", { points: plot.points.map((point) => `${x(point.at)},${y(point.celsius)}`).join(" "), class: "line" }));
  parts.push(...plot.points.map((point) => draw("circle", { cx: x(point.at), cy: y(point.celsius), r: 5, class: "point" })));
  const told = [say("readings.told", { name: plot.name, degrees: plot.last, clock: clock(last.at, view.offset) })];
  if (plot.target_words) told.push(say("readings.target", { degrees: plot.target_words }));
  if (forecast.length) told.push(say("readings.forecast", { low: nearMinute(forecast[0], view.offset), high: nearMinute(forecast[1], view.offset) }));
  if (plot.likely !== null) told.push(say("readings.likely", { clock: nearMinute(plot.likely, view.offset) }));
  told.push(...plot.notes);
  return el("figure", {}, draw("svg", { viewBox: `0 0 ${width} ${height}`, "aria-hidden": "true" }, ...parts), el("figcaption", {}, told.join("; ")));
}

// --- what moves by itself -----------------------------------------------------------------------------------

function tick() {
  if (view === null) return;
  const { s, jumped } = sinceView();
  const now = view.now + s;
  put("clock", clock(now, view.offset, true));
  showEars(now);
  for (const place of document.querySelectorAll("#going .left")) {
    const one = view.going.find((step) => step.id === place.dataset.of);
    if (one !== undefined) showLeft(place, one, now);
  }
  for (const place of document.querySelectorAll("#coming .when")) {
    const left = Number(place.dataset.at) - now;
    const text = left < 20 ? say("due") : say("in", { time: span(left) });
    if (place.textContent !== text) place.textContent = text;
  }
  if (isGone) return;
  if (s > OLD_S || jumped) showOld(jumped ? say("old.jump") : say("old", { time: span(s), clock: clock(view.now, view.offset) }));
  else hideOld();
}

function showEars(now) {
  const { state, words: told, until, then, hearing } = view.ears;
  const closed = state === "open" && until !== null && now >= until;
  put("ears", hearing !== null ? hearing : closed ? then : told);
  document.getElementById("ears").className = closed ? "listening" : state;
}

function showLeft(place, one, now) {
  const left = one.due === null ? one.left_s : one.due - now;
  const text = left === null ? one.beside || "" : countdown(left);
  if (place.textContent !== text) place.textContent = text;
  place.classList.toggle("words", left === null);
  place.classList.toggle("long", text.length > 6);
  place.classList.toggle("over", left !== null && left < -0.5);
}

function showOld(text) {
  put("old", text);
  document.getElementById("old").hidden = false;
  document.body.classList.add("is-old");
}

function hideOld() {
  const place = document.getElementById("old");
  if (place.hidden) return;
  place.hidden = true;
  document.body.classList.remove("is-old");
  put("came", say("back"));
}

// --- saying -------------------------------------------------------------------------------------------------

async function tell(text, button = null) {
  if (button !== null) {
    button.disabled = true; // an elbow presses twice
    setTimeout(() => { button.disabled = false; }, 900);
  }
  put("came", say("sent", { words: text }));
  try {
    const answer = await post("/say", { words: text });
    if (!answer.ok) put("came", say("not sent", { why: answer.error || answer.status }));
    return answer.ok;
  } catch (error) {
    put("came", say("not sent", { why: say("old", { time: span(sinceView().s), clock: clock(view.now, view.offset) }) }));
    return false;
  }
}

document.getElementById("typing").addEventListener("submit", async (event) => {
  event.preventDefault();
  const line = document.getElementById("line");
  const text = line.value.trim();
  if (text && (await tell(text))) line.value = "";
});

for (const [target, name] of [[document, "visibilitychange"], [window, "pageshow"], [window, "online"], [window, "focus"]]) {
  target.addEventListener(name, wakeUp);
}
window.addEventListener("resize", () => { if (view !== null) { showWhole(); showReadings(); } });
setInterval(() => {
  tick();
  if (base !== null && source !== null && sinceView().s > OLD_S * 1.5) {
    base.asked = (base.asked || 0) + 1;
    if (base.asked % 20 === 1) listen(); // a connection that died without a word
  }
}, 250);
listen();
