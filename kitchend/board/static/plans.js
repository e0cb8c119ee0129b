"use strict";
// Before the dinner: the plans there are, a new one, a look at a timeline, and the start.

let chosen = null;
let looked = null;
let listed = { on: null, plans: [] };

async function list() {
  const answer = await fetch("/plans/list", { cache: "no-store" });
  if (!answer.ok) return;
  listed = await answer.json();
  if (listed.on !== null) {
    fill("plans", el("p", { class: "on" }, say("plan.on", { plan: listed.on })), ...listed.plans.map(planOf));
  } else if (!listed.plans.length) {
    fill("plans", el("p", {}, say("plans.none", { folder: listed.folder })));
  } else {
    fill("plans", ...listed.plans.map(planOf));
  }
  document.getElementById("drop").hidden = !listed.folder;
}

function planOf(plan) {
  const name = plan.name || plan.file;
  const facts = [];
  if (plan.facts) {
    facts.push(say("plan.size", { dishes: plan.facts.dishes.length, steps: plan.facts.steps }));
    if (plan.facts.people) facts.push(say("plan.people", { people: plan.facts.people }));
    if (plan.facts.serve) facts.push(`${say("pass")} ${plan.facts.serve}`);
  }
  const mark = plan.problems.length ? say("plan.problems", { count: plan.problems.length })
    : plan.warnings.length ? say("plan.doubts", { count: plan.warnings.length }) : say("plan.ok");
  const card = el("article", { class: `plan ${plan.problems.length ? "bad" : plan.warnings.length ? "doubtful" : "fine"}` },
    el("h2", {}, name),
    el("p", { class: "facts" }, [...facts, mark].join(" · ")),
    ...problemsOf([...plan.problems, ...plan.warnings]),
    plan.caution ? el("p", { class: "facts" }, plan.caution) : null);
  if (plan.ok && listed.on === null) {
    const button = el("button", { type: "button", class: "main", "aria-label": `${say("plan.choose")}: ${name}` }, say("plan.choose"));
    button.addEventListener("click", () => choose(plan));
    card.append(button);
  }
  return card;
}

function problemsOf(problems) {
  if (!problems.length) return [];
  return [el("ul", { class: "problems" }, ...problems.map((one) => el("li", {},
    one.line ? el("b", {}, `${say("line", { line: one.line })}: `) : null,
    `${one.field ? `${one.field}: ` : ""}${one.message}${one.hint ? ` (${one.hint})` : ""}`)))];
}

function choose(plan) {
  chosen = plan;
  looked = null;
  const field = el("input", { id: "serve", inputmode: "numeric", maxlength: 5, autocomplete: "off", value: "" });
  const look = el("button", { type: "submit", class: "main" }, say("look at"));
  const form = el("form", {}, el("label", { for: "serve" }, say("pass.set")), el("span", { class: "line" }, field, look));
  form.addEventListener("submit", (event) => { event.preventDefault(); lookAt(); });
  const place = document.getElementById("chosen");
  place.replaceChildren(el("h2", {}, plan.name), form, el("p", { id: "came", role: "status" }, ""), el("div", { id: "outlook" }));
  place.hidden = false;
  place.scrollIntoView({ block: "nearest" });
  field.focus();
  lookAt();
}

function serveOf() {
  const text = document.getElementById("serve").value.trim();
  return text === "" || /^([01]?\d|2[0-3])[:.][0-5]\d$/.test(text) ? text.replace(".", ":") : null;
}

async function lookAt() {
  const serve = serveOf();
  if (serve === null) {
    put("came", say("pass.wrong"));
    return;
  }
  put("came", say("planning"));
  const answer = await post("/plans/look", { plan: chosen.name, serve });
  if (!answer.ok) {
    put("came", answer.error);
    return;
  }
  looked = answer;
  const at = (moment) => nearMinute(moment, answer.offset);
  const lines = [answer.late_by_s >= 60
    ? say("planned.late", { asked: at(answer.serve), ready: at(answer.ready) })
    : say("planned", { first: at(answer.first), serve: at(answer.serve) })];
  if (answer.chance !== null) lines.push(say("planned.chance", { percent: `${Math.round(answer.chance * 100)} %` }));
  put("came", lines.join(" "));
  showOutlook(serve);
}

function showOutlook(serve) {
  const start = el("button", { type: "button", class: "main large" }, say("start"));
  start.addEventListener("click", () => begin(serve, start));
  const query = new URLSearchParams({ plan: chosen.name, serve });
  const sheet = el("a", { href: `/plans/sheet?${query}`, target: "_blank", rel: "noopener", class: "button" }, say("prep"));
  // What mends several only together is the same for each: it stands below the last of them.
  const said = looked.conflicts.map((one) => one.changes.join("\n"));
  const below = (at) => (said[at] === said[at + 1] ? [] : looked.conflicts[at].changes);
  const conflicts = looked.conflicts.map((one, at) => el("li", {}, one.message, el("ul", {}, ...below(at).map((change) => el("li", {}, change)))));
  fill("outlook", el("p", { class: "line" }, start, sheet), el("ul", { class: "problems" }, ...conflicts), el("div", { id: "timeline" }));
  showTimeline("timeline", looked.timeline, looked.offset, null);
}

async function begin(serve, button) {
  button.disabled = true;
  put("came", say("planning"));
  const answer = await post("/plans/start", { plan: chosen.name, serve });
  if (answer.ok) {
    put("came", say("started"));
    window.location.assign("/");
  } else {
    put("came", answer.error);
    button.disabled = false;
  }
}

async function add(file) {
  if (file.size > 262144) {
    fill("added", el("p", {}, say("add.large")));
    return;
  }
  const path = `/plans/add?${new URLSearchParams({ name: file.name })}`;
  const answer = await fetch(path, { method: "POST", headers: { "content-type": "application/yaml" }, body: await file.arrayBuffer() });
  const found = await answer.json();
  const came = found.came || "closed";
  fill("added", el("p", {}, say(`add.${came}`, { name: file.name, why: found.why || found.error })), ...problemsOf(found.problems || []));
  if (came === "done") await list();
}

const drop = document.getElementById("drop");
for (const name of ["dragenter", "dragover"]) {
  document.addEventListener(name, (event) => { event.preventDefault(); drop.classList.add("over"); });
}
for (const name of ["dragleave", "drop"]) {
  document.addEventListener(name, (event) => { event.preventDefault(); drop.classList.remove("over"); });
}
document.addEventListener("drop", (event) => { for (const file of event.dataTransfer.files) add(file); });
document.getElementById("file").addEventListener("change", (event) => {
  for (const file of event.target.files) add(file);
  event.target.value = "";
});
window.addEventListener("resize", () => { if (looked !== null) showTimeline("timeline", looked.timeline, looked.offset, null); });
list();
