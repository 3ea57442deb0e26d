// @ts-check
/** Ticks of a run: sent at once, or kept on this tablet and sent when the network returns, each once. */
import { token } from "./shop.js";

const run = /** @type {HTMLElement} */ (document.getElementById("run"));
const net = /** @type {HTMLElement} */ (document.getElementById("net"));
const store = `underset-run-${run.dataset.run}`;
let pass = token();
let sending = false;

/** @typedef {{to: "answers" | "finish", body: {key: string, point?: string, right?: boolean}}} Kept */
/** @returns {Kept[]} */
function kept() {
  try { return JSON.parse(localStorage.getItem(store) || "[]"); } catch { return []; }
}
/** @param {Kept[]} list */
function keep(list) {
  if (list.length) localStorage.setItem(store, JSON.stringify(list));
  else localStorage.removeItem(store);
}

/** @param {Kept} item @returns {Promise<Response>} */
function post(item) {
  return fetch(`/api/v1/runs/${run.dataset.run}/${item.to}`, {
    method: "POST", body: JSON.stringify(item.body),
    headers: { "content-type": "application/json", "x-underset-token": pass },
  });
}

/** Send one tick; a server that was started anew gets its new token. @param {Kept} item */
async function sent(item) {
  const answer = await post(item);
  if (answer.status !== 403) return answer.status;
  const fresh = await fetch("/api/v1/token");
  if (fresh.ok) pass = (await fresh.json()).token;
  return (await post(item)).status;
}

/** Send what is kept, oldest first; stop at the first that does not arrive and keep it. */
async function flush() {
  if (sending) return;
  sending = true;
  try {
    for (let item = kept()[0]; item; item = kept()[0]) {
      const status = await sent(item);
      if (status === 401) { net.textContent = net.dataset.stranger || ""; return; }
      if (status === 429 || status >= 500) { net.textContent = net.dataset.offline || ""; return; }
      const done = item.body.key;
      keep(kept().filter((k) => k.body.key !== done));
      if (status >= 400) { location.reload(); return; }
    }
    if (net.textContent) net.textContent = net.dataset.sent || "";
  } catch {
    net.textContent = net.dataset.offline || "";
  } finally {
    sending = false;
  }
}

/** Keep something and send it; then, if all has arrived, show what the server says. @param {Kept} item @param {boolean} anew */
async function say(item, anew) {
  keep([...kept(), item]);
  await flush();
  if (anew && !kept().length) location.reload();
}

/** @param {number} index */
function showPoint(index) {
  for (const section of Array.from(run.querySelectorAll(".point"))) {
    /** @type {HTMLElement} */ (section).hidden = section.id !== `point-${index}`;
  }
  run.dataset.open = String(index);
  const next = document.getElementById(`point-${index}`);
  next?.querySelector("button")?.focus();
  const finish = document.querySelector("#finish button");
  if (finish && !next?.dataset.point) {
    finish.textContent = document.getElementById("finish")?.dataset.all || "";
    document.getElementById("stop-run")?.replaceWith(finish);
    finish.classList.add("main");
  }
}

/** Say in the list what was answered, as the server will say it. @param {string} point @param {boolean} sign */
function mark(point, sign) {
  const said = document.querySelector(`[data-line="${CSS.escape(point)}"] strong`);
  if (said) said.textContent = (sign ? run.dataset.signed : run.dataset.done) || "";
}

/** @param {HTMLFormElement} form @param {string} name */
function value(form, name) { return String(new FormData(form).get(name) || ""); }

run.addEventListener("submit", (event) => {
  const form = /** @type {HTMLFormElement} */ (event.target);
  if (!form.classList.contains("decision")) return;
  event.preventDefault();
  const pressed = /** @type {SubmitEvent} */ (event).submitter;
  const right = pressed instanceof HTMLButtonElement && pressed.value === "yes";
  const point = value(form, "point");
  const item = /** @type {Kept} */ ({ to: "answers", body: { key: value(form, "key"), point, right } });
  if (right) {
    mark(point, form.dataset.sign === "yes");
    showPoint(Number(run.dataset.open) + 1);
  }
  void say(item, !right);
});

// The end goes the same way as the ticks, after them: it counts what has arrived.
document.getElementById("finish")?.addEventListener("submit", (event) => {
  event.preventDefault();
  const key = value(/** @type {HTMLFormElement} */ (event.target), "key");
  void say({ to: "finish", body: { key } }, true);
});

window.addEventListener("online", () => void flush());
setInterval(() => { if (kept().length) void flush(); }, 4000);

// What this tablet still keeps counts as answered on its own screen.
const waiting = kept().map((k) => k.body.point);
if (waiting.length && !run.dataset.ended) {
  const points = Array.from(run.querySelectorAll("[data-point]"));
  const open = points.findIndex((s) => {
    const section = /** @type {HTMLElement} */ (s);
    return !section.dataset.answer && !waiting.includes(section.dataset.point || "");
  });
  for (const section of points) {
    const { point } = /** @type {HTMLElement} */ (section).dataset;
    if (point && waiting.includes(point)) mark(point, section.querySelector("[data-sign=yes]") !== null);
  }
  showPoint(open >= 0 ? open : points.length);
}
void flush();
