// @ts-check
/** Ticks of a run: sent at once, or kept on this tablet and sent when the network returns, each once. */
import { token } from "./shop.js";

const run = /** @type {HTMLElement} */ (document.getElementById("run"));
const net = /** @type {HTMLElement} */ (document.getElementById("net"));
const store = `underset-run-${run.dataset.run}`;

/** @typedef {{url: string, body: string}} Kept */
/** @returns {Kept[]} */
function kept() {
  try { return JSON.parse(localStorage.getItem(store) || "[]"); } catch { return []; }
}
/** @param {Kept[]} list */
function keep(list) {
  if (list.length) localStorage.setItem(store, JSON.stringify(list));
  else localStorage.removeItem(store);
}

/** Send what is kept, oldest first; stop at the first that does not arrive. */
async function flush() {
  for (let list = kept(); list.length; list = kept()) {
    let answer;
    try {
      answer = await fetch(list[0].url, {
        method: "POST", body: list[0].body, redirect: "manual",
        headers: { "content-type": "application/x-www-form-urlencoded", "x-underset-token": token() },
      });
    } catch {
      net.textContent = net.dataset.offline || "";
      return;
    }
    keep(list.slice(1));
    if (answer.status >= 400) { location.reload(); return; }
  }
  if (net.textContent) net.textContent = net.dataset.sent || "";
}

/** @param {number} index */
function showPoint(index) {
  for (const section of Array.from(run.querySelectorAll(".point"))) {
    /** @type {HTMLElement} */ (section).hidden = section.id !== `point-${index}`;
  }
  run.dataset.open = String(index);
  const next = document.getElementById(`point-${index}`);
  next?.querySelector("button")?.focus();
}

run.addEventListener("submit", (event) => {
  const form = /** @type {HTMLFormElement} */ (event.target);
  if (!form.classList.contains("decision")) return;
  event.preventDefault();
  const pressed = /** @type {SubmitEvent} */ (event).submitter;
  const data = new URLSearchParams(/** @type {any} */ (new FormData(form)));
  if (pressed instanceof HTMLButtonElement) data.set("right", pressed.value);
  data.delete("token");
  keep([...kept(), { url: form.getAttribute("action") || "", body: data.toString() }]);
  const section = /** @type {HTMLElement} */ (form.closest(".point"));
  section.dataset.answer = data.get("right") === "yes" ? "done" : "not right";
  if (data.get("right") === "no") { void flush().then(() => location.reload()); return; }
  showPoint(Number(run.dataset.open) + 1);
  void flush();
});

window.addEventListener("online", () => void flush());
setInterval(() => { if (kept().length) void flush(); }, 4000);

// What this tablet still keeps counts as answered on its own screen.
const waiting = kept().map((k) => new URLSearchParams(k.body).get("point"));
if (waiting.length && !run.dataset.ended) {
  const open = Array.from(run.querySelectorAll(".point")).findIndex((s) => {
    const section = /** @type {HTMLElement} */ (s);
    return !section.dataset.answer && !waiting.includes(section.dataset.point || "");
  });
  if (open >= 0) showPoint(open);
}
void flush();
