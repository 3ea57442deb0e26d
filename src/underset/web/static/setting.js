// @ts-check
/** The setting under the hand: pointer, keys and buttons move the vehicle; the server judges each stop. */

const form = /** @type {HTMLFormElement} */ (document.getElementById("held"));
const part = /** @type {HTMLElement} */ (document.getElementById("part"));
let busy = false;
let wanted = false;

/** @param {string} name @returns {HTMLInputElement} */
function field(name) {
  return /** @type {HTMLInputElement} */ (form.elements.namedItem(name));
}

/** Ask for the part at the held stop; while one answer is on its way only the newest wish is kept. */
async function ask() {
  if (busy) { wanted = true; return; }
  busy = true;
  try {
    const query = new URLSearchParams(/** @type {any} */ (new FormData(form)));
    const answer = await fetch(`/setting/part?${query}`);
    if (answer.ok) {
      const focused = document.activeElement?.id === "plan-drawing";
      part.innerHTML = await answer.text();
      history.replaceState(null, "", `/setting?${query}`);
      bands();
      if (focused) document.getElementById("plan-drawing")?.focus();
    }
  } finally {
    busy = false;
    if (wanted) { wanted = false; void ask(); }
  }
}

/** @param {number} along @param {number} across */
function move(along, across) {
  field("spot").value = clamp(Number(field("spot").value) + along, 8).toFixed(4);
  field("sideways").value = clamp(Number(field("sideways").value) + across, 1).toFixed(4);
  void ask();
}

/** @param {number} x @param {number} bound */
function clamp(x, bound) { return Math.max(-bound, Math.min(bound, x)); }

/** Metres of the bay under one pixel of the drawing, read from the drawing's own scale. */
function metresPerPixel() {
  const svg = document.querySelector("#plan-drawing svg");
  if (!(svg instanceof SVGSVGElement)) return 0;
  const perMetre = Number(svg.dataset.perMetre || 0);
  const box = svg.viewBox.baseVal;
  return perMetre > 0 ? box.width / svg.getBoundingClientRect().width / perMetre : 0;
}

/** The window the vehicle stands in, told to people who cannot see the bands. */
function bands() {
  const held = part.querySelector(".held");
  if (!(held instanceof HTMLElement)) return;
  const spot = Number(held.dataset.spot);
  const windows = /** @type {[number, number][]} */ (JSON.parse(held.dataset.windows || "[]"));
  held.dataset.inside = String(windows.some(([low, high]) => spot >= low && spot <= high));
}

/** @type {{x: number, y: number} | null} */
let grabbed = null;
part.addEventListener("pointerdown", (event) => {
  const target = /** @type {Element} */ (event.target);
  if (!target.closest("#plan-drawing")) return;
  grabbed = { x: event.clientX, y: event.clientY };
  event.preventDefault();
  document.getElementById("plan-drawing")?.focus();
});
window.addEventListener("pointermove", (event) => {
  if (!grabbed) return;
  const scale = metresPerPixel();
  const along = (event.clientX - grabbed.x) * scale;
  const across = -(event.clientY - grabbed.y) * scale;
  if (Math.abs(along) + Math.abs(across) < 0.002) return;
  grabbed = { x: event.clientX, y: event.clientY };
  move(along, event.shiftKey || Math.abs(across) < Math.abs(along) / 2 ? 0 : across);
});
window.addEventListener("pointerup", () => { grabbed = null; });
window.addEventListener("pointercancel", () => { grabbed = null; });

part.addEventListener("keydown", (event) => {
  const step = event.shiftKey ? 0.1 : 0.005;
  /** @type {Record<string, [number, number]>} */
  const keys = { ArrowRight: [step, 0], ArrowLeft: [-step, 0], ArrowUp: [0, step], ArrowDown: [0, -step] };
  const way = keys[event.key];
  if (!way || !(/** @type {Element} */ (event.target).closest("#plan-drawing"))) return;
  event.preventDefault();
  move(way[0], way[1]);
});

form.addEventListener("click", (event) => {
  const button = /** @type {Element} */ (event.target).closest("button");
  if (!(button instanceof HTMLButtonElement)) return;
  if ("along" in button.dataset) move(Number(button.dataset.along), 0);
  if ("across" in button.dataset) move(0, Number(button.dataset.across));
  if ("reset" in button.dataset) {
    field("spot").value = form.dataset.planned || "0";
    field("sideways").value = field("yaw").value = "0";
    void ask();
  }
});
part.addEventListener("click", (event) => {
  const button = /** @type {Element} */ (event.target).closest("button[data-state]");
  if (!(button instanceof HTMLButtonElement)) return;
  field("state").value = button.dataset.state || "0";
  void ask();
});
form.addEventListener("change", () => void ask());
form.addEventListener("submit", (event) => { event.preventDefault(); void ask(); });
bands();
