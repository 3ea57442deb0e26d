// @ts-check
/** Marks on a picture that stays in this browser: shows it, collects clicks in its own pixels, works nothing out. */

const LARGEST = 20_000_000;
const KINDS = ["image/png", "image/jpeg", "image/webp"];
const CLICK = 3; // pixels of the screen that a finger or mouse is true to

const canvas = /** @type {HTMLCanvasElement} */ (document.getElementById("canvas"));
const view = /** @type {HTMLElement} */ (document.getElementById("traceview"));
const zoom = /** @type {HTMLInputElement} */ (document.getElementById("zoom"));
const click = /** @type {HTMLInputElement} */ (document.getElementById("click"));
const check = /** @type {HTMLInputElement} */ (document.getElementById("f-check"));
const next = /** @type {HTMLElement} */ (document.getElementById("next"));
const bad = /** @type {HTMLElement} */ (document.getElementById("bad-file"));
const paint = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d"));
const marks = /** @type {HTMLElement[]} */ (Array.from(document.querySelectorAll("[data-mark]")));

/** @type {ImageBitmap | null} */
let picture = null;
/** Cross of the keyboard and middle of the view, in pixels of the picture. */
let cross = { x: 0, y: 0 };
let middle = { x: 0, y: 0 };

/** @param {HTMLElement} mark @returns {[HTMLInputElement, HTMLInputElement]} */
function inputs(mark) {
  const [x, y] = mark.querySelectorAll("input");
  return [x, y];
}

/** Screen pixels to a pixel of the picture. */
function scale() {
  if (!picture) return 1;
  return Math.min(canvas.width / picture.width, canvas.height / picture.height) * Number(zoom.value);
}

/** @returns {HTMLElement | undefined} the mark to be set next; those of the check only when a distance is given */
function open() {
  return marks.find((m) => !inputs(m)[0].value && (!("optional" in m.dataset) || check.value.trim() !== ""));
}

function draw() {
  if (!picture) return;
  canvas.dataset.whole = String(Number(zoom.value) <= 1); // all of it is seen: a finger may scroll the page
  const k = scale();
  const at = (/** @type {number} */ x, /** @type {number} */ y) =>
    /** @type {[number, number]} */ ([canvas.width / 2 + (x - middle.x) * k, canvas.height / 2 + (y - middle.y) * k]);
  paint.fillStyle = "#777";
  paint.fillRect(0, 0, canvas.width, canvas.height);
  const [left, top] = at(0, 0);
  paint.drawImage(picture, left, top, picture.width * k, picture.height * k);
  for (const mark of marks) {
    const [x, y] = inputs(mark).map((i) => Number(i.value));
    if (inputs(mark)[0].value) cut(at(x, y), mark.dataset.mark ?? "", "#9c1c1c");
  }
  if (document.activeElement === canvas) cut(at(cross.x, cross.y), "", "#0b4f6c");
  const todo = open();
  next.textContent = todo ? `${marks.indexOf(todo) + 1}. ${todo.dataset.words}` : next.dataset.done ?? "";
}

/** @param {[number, number]} at @param {string} name @param {string} colour */
function cut([x, y], name, colour) {
  for (const [wide, ink] of /** @type {[number, string][]} */ ([[5, "#fff"], [2, colour]])) {
    paint.lineWidth = wide;
    paint.strokeStyle = ink;
    paint.beginPath();
    paint.moveTo(x - 14, y);
    paint.lineTo(x + 14, y);
    paint.moveTo(x, y - 14);
    paint.lineTo(x, y + 14);
    paint.stroke();
  }
  if (!name) return;
  paint.font = "bold 18px sans-serif";
  paint.lineWidth = 4;
  paint.strokeStyle = "#fff";
  paint.strokeText(name.toUpperCase(), x + 8, y - 8);
  paint.fillStyle = colour;
  paint.fillText(name.toUpperCase(), x + 8, y - 8);
}

/** @param {number} x @param {number} y pixels of the picture */
function mark(x, y) {
  const todo = open();
  if (!picture || !todo || x < 0 || y < 0 || x > picture.width || y > picture.height) return;
  const [ix, iy] = inputs(todo);
  ix.value = x.toFixed(1);
  iy.value = y.toFixed(1);
  // The coarsest mark counts: a click zoomed out is no finer because a later one was zoomed in.
  const now = CLICK / scale();
  if (todo === marks[0]) click.value = "0.01";
  click.value = Math.max(Number(click.value) || 0, now, 0.5).toFixed(2);
  draw();
}

/** @param {File} file */
async function load(file) {
  bad.textContent = "";
  try {
    if (!KINDS.includes(file.type) || file.size > LARGEST) throw new TypeError(file.type);
    picture = await createImageBitmap(file);
  } catch {
    bad.textContent = bad.dataset.bad ?? "";
    return;
  }
  cross = middle = { x: picture.width / 2, y: picture.height / 2 };
  view.hidden = false;
  fit();
}

function fit() {
  canvas.width = Math.max(300, view.clientWidth);
  canvas.height = Math.round(Math.min(window.innerHeight * 0.7, canvas.width * 0.8));
  draw();
}

document.getElementById("picture")?.addEventListener("change", (event) => {
  const file = /** @type {HTMLInputElement} */ (event.target).files?.[0];
  if (file) void load(file);
});

/** A short press marks; a drag moves the picture. @type {{ x: number, y: number, moved: boolean } | null} */
let press = null;
canvas.addEventListener("pointerdown", (event) => {
  press = { x: event.offsetX, y: event.offsetY, moved: false };
  canvas.setPointerCapture(event.pointerId);
});
canvas.addEventListener("pointermove", (event) => {
  if (!press) return;
  const dx = event.offsetX - press.x;
  const dy = event.offsetY - press.y;
  if (!press.moved && Math.hypot(dx, dy) < 8) return;
  const k = scale() * (canvas.clientWidth / canvas.width);
  middle = { x: middle.x - dx / k, y: middle.y - dy / k };
  press = { x: event.offsetX, y: event.offsetY, moved: true };
  draw();
});
canvas.addEventListener("pointercancel", () => { press = null; });
canvas.addEventListener("pointerup", (event) => {
  const still = press && !press.moved;
  press = null;
  if (!still) return;
  const shown = canvas.clientWidth / canvas.width;
  const k = scale();
  cross = {
    x: middle.x + (event.offsetX / shown - canvas.width / 2) / k,
    y: middle.y + (event.offsetY / shown - canvas.height / 2) / k,
  };
  mark(cross.x, cross.y);
});
canvas.addEventListener("keydown", (event) => {
  /** @type {Record<string, [number, number]>} */
  const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
  const way = ways[event.key];
  if (way) {
    const step = (event.shiftKey ? 20 : 1) / Math.min(1, scale());
    cross = { x: cross.x + way[0] * step, y: cross.y + way[1] * step };
    if (Number(zoom.value) > 1) middle = { ...cross };
  } else if (event.key === "Enter" || event.key === " ") mark(cross.x, cross.y);
  else return;
  event.preventDefault();
  draw();
});
canvas.addEventListener("focus", draw);
canvas.addEventListener("blur", draw);
zoom.addEventListener("input", () => {
  middle = { ...cross };
  draw();
});
document.getElementById("undo")?.addEventListener("click", () => {
  const last = marks.filter((m) => inputs(m)[0].value).pop();
  for (const input of last ? inputs(last) : []) input.value = "";
  draw();
});
check.addEventListener("input", draw);
window.addEventListener("resize", fit);
document.getElementById("result")?.scrollIntoView();
