"use strict";
// The way in: four words and a name, tried once a press.

const words = JSON.parse(document.body.dataset.words);
const came = document.getElementById("came");

document.getElementById("door").addEventListener("submit", async (event) => {
  event.preventDefault();
  const given = { words: document.getElementById("words").value, name: document.getElementById("name").value };
  const answer = await fetch("/door", { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(given) });
  const found = await answer.json();
  if (answer.ok) {
    window.location.assign("/");
    return;
  }
  const wait = words.seconds.replace("{s}", Math.ceil(found.wait_s || 1));
  came.textContent = found.why ? words[`door.${found.why}`].replace("{time}", wait) : found.error;
});
