// @ts-check
/** The setting under the hand: pointer, keys and buttons move the vehicle at once; the server judges each stop. */

const form = /** @type {HTMLFormElement} */ (document.getElementById("held"));
const part = /** @type {HTMLElement} */ (document.getElementById("part"));
const plan = /** @type {HTMLElement} */ (document.getElementById("plan-drawing"));
const planned = { spot: field("spot").value, sideways: field("sideways").value, yaw: field("yaw").value };
let busy = false;
let wanted = false;
/** The stop that is drawn, as it was asked for: statuses are true of it alone. */
let judged = asked();

/** @param {string} name @returns {HTMLInputElement} */
function field(name) {
  return /** @type {HTMLInputElement} */ (form.elements.namedItem(name));
}

/** What the server said of the stop that is drawn. @returns {DOMStringMap} */
function said() {
  return /** @type {HTMLElement} */ (document.getElementById("stop")).dataset;
}

/** What decides the statuses: everything in the form but the state that is looked at. @returns {string} */
function asked() {
  const query = new URLSearchParams(/** @type {any} */ (new FormData(form)));
  query.delete("state");
  return String(query);
}

/** Ask for the part at the held stop; while one answer is on its way only the newest wish is kept. */
async function ask() {
  if (busy) { wanted = true; return; }
  busy = true;
  try {
    const query = new URLSearchParams(/** @type {any} */ (new FormData(form)));
    const stop = asked();
    const answer = await fetch(`/setting/part?${query}`);
    if (answer.ok) {
      const text = await answer.text();
      judged = stop;
      take(text);
      history.replaceState(null, "", `/setting?${query}`);
    }
  } finally {
    busy = false;
    if (wanted) { wanted = false; void ask(); }
  }
}

/** Put each part of an answer into its slot; the slots stay, so that a finger keeps its hold. @param {string} text */
function take(text) {
  const fresh = document.createElement("template");
  fresh.innerHTML = text;
  for (const slot of Array.from(fresh.content.querySelectorAll("[data-slot]"))) {
    const old = part.querySelector(`[data-slot="${slot.getAttribute("data-slot")}"]`);
    const focused = old?.contains(document.activeElement) ? document.activeElement?.getAttribute("data-state") : null;
    old?.replaceChildren(...Array.from(slot.childNodes));
    if (focused) /** @type {HTMLElement | null} */ (old?.querySelector(`[data-state="${focused}"]`))?.focus();
  }
  const stop = fresh.content.getElementById("stop");
  if (stop) document.getElementById("stop")?.replaceWith(stop);
  hold();
  follow();
}

/** @returns {SVGSVGElement | null} */
function drawing() {
  return /** @type {SVGSVGElement | null} */ (plan.querySelector("svg"));
}

/** @type {{k: number, x: number, y: number, width: number, height: number} | null} */
let first = null;
/** Keep columns and floor where they were first drawn, whatever room a later drawing takes. */
function hold() {
  const svg = drawing();
  if (!svg) return;
  const k = Number(svg.dataset.perMetre), x = Number(svg.dataset.originX), y = Number(svg.dataset.originY);
  const box = svg.viewBox.baseVal;
  first ??= { k, x, y, width: box.width, height: box.height };
  const r = k / first.k;
  svg.setAttribute("viewBox", [x - first.x * r, y - first.y * r, first.width * r, first.height * r].join(" "));
  svg.setAttribute("width", `${first.width}mm`);
  svg.setAttribute("height", `${first.height}mm`);
}

/** Move the drawn vehicle to where it is held, before the server has answered; no status is shown until then. */
function follow() {
  part.dataset.late = String(asked() !== judged);
  const vehicle = plan.querySelector("#vehicle");
  const svg = drawing();
  if (!vehicle || !svg) return;
  const k = Number(svg.dataset.perMetre), drawn = said();
  const along = Number(field("spot").value) - Number(drawn.spot) + Number(drawn.shiftAlong);
  const across = Number(field("sideways").value) - Number(drawn.sideways) + Number(drawn.shiftAcross);
  vehicle.setAttribute("transform", `translate(${(along * k).toFixed(2)} ${(-across * k).toFixed(2)})`);
  plan.dataset.beside = String(drawn.reached !== "yes" || Math.abs(along) + Math.abs(across) > 0.03);
}

/** @param {number} along @param {number} across */
function move(along, across) {
  field("spot").value = clamp(Number(field("spot").value) + along, 8).toFixed(4);
  field("sideways").value = clamp(Number(field("sideways").value) + across, 1).toFixed(4);
  follow();
  void ask();
}

/** @param {number} x @param {number} bound */
function clamp(x, bound) { return Math.max(-bound, Math.min(bound, x)); }

/** Metres of the bay under one pixel of the drawing, read from the drawing's own scale. */
function metresPerPixel() {
  const svg = drawing();
  const wide = svg?.getBoundingClientRect().width;
  return svg && wide ? svg.viewBox.baseVal.width / wide / Number(svg.dataset.perMetre) : 0;
}

/** Whether a finger is on the vehicle, whatever lies over it; where no body is drawn, on the drawing. @param {number} x @param {number} y */
function onVehicle(x, y) {
  if (!plan.querySelector("#vehicle .us-body")) return true;
  return document.elementsFromPoint(x, y).some((element) => element.closest("#vehicle"));
}

// One finger on the vehicle drags it and scrolls nothing; beside it, or with two, the page scrolls.
plan.addEventListener("touchstart", (event) => {
  const [finger] = Array.from(event.touches);
  if (event.touches.length === 1 && onVehicle(finger.clientX, finger.clientY)) event.preventDefault();
}, { passive: false });

/** @type {{x: number, y: number} | null} */
let grabbed = null;
plan.addEventListener("pointerdown", (event) => {
  if (event.button !== 0 || !event.isPrimary) return;
  if (event.pointerType === "touch" && !onVehicle(event.clientX, event.clientY)) return;
  grabbed = { x: event.clientX, y: event.clientY };
  plan.setPointerCapture(event.pointerId);
  event.preventDefault();
  plan.focus();
});
plan.addEventListener("pointermove", (event) => {
  if (!grabbed || !event.isPrimary) return;
  const scale = metresPerPixel();
  const along = (event.clientX - grabbed.x) * scale;
  const across = -(event.clientY - grabbed.y) * scale;
  if (Math.abs(along) + Math.abs(across) < 0.002) return;
  grabbed = { x: event.clientX, y: event.clientY };
  move(along, event.shiftKey || Math.abs(across) < Math.abs(along) / 2 ? 0 : across);
});
for (const end of ["pointerup", "pointercancel", "lostpointercapture"]) {
  plan.addEventListener(end, () => { grabbed = null; });
}

plan.addEventListener("keydown", (event) => {
  const step = event.shiftKey ? 0.1 : 0.005;
  /** @type {Record<string, [number, number]>} */
  const keys = { ArrowRight: [step, 0], ArrowLeft: [-step, 0], ArrowUp: [0, step], ArrowDown: [0, -step] };
  const way = keys[event.key];
  if (!way) return;
  event.preventDefault();
  move(way[0], way[1]);
});

/** @param {{spot: string, sideways: string, yaw: string}} stop */
function stopAt(stop) {
  field("spot").value = stop.spot;
  field("sideways").value = stop.sideways;
  field("yaw").value = stop.yaw;
  follow();
  void ask();
}

part.querySelector(".moves")?.addEventListener("click", (event) => {
  const button = /** @type {Element} */ (event.target).closest("button");
  if (!(button instanceof HTMLButtonElement)) return;
  if ("along" in button.dataset) move(Number(button.dataset.along), 0);
  if ("across" in button.dataset) move(0, Number(button.dataset.across));
  if ("reset" in button.dataset) stopAt(planned);
  if ("snap" in button.dataset) snap();
});

/** To the nearest stop inside a window, straight on the drive line. */
function snap() {
  const spot = Number(field("spot").value);
  const windows = /** @type {[number, number][]} */ (JSON.parse(said().windows || "[]"));
  const stops = windows.map(([low, high]) => Math.max(low, Math.min(high, spot)));
  if (!stops.length) return;
  const nearest = stops.reduce((a, b) => (Math.abs(b - spot) < Math.abs(a - spot) ? b : a));
  stopAt({ spot: String(nearest), sideways: "0", yaw: "0" });
}

part.addEventListener("click", (event) => {
  const button = /** @type {Element} */ (event.target).closest("button[data-state]");
  if (!(button instanceof HTMLButtonElement)) return;
  field("state").value = button.dataset.state || "0";
  void ask();
});
form.addEventListener("change", () => { follow(); void ask(); });
form.addEventListener("submit", (event) => { event.preventDefault(); void ask(); });
hold();
follow();
