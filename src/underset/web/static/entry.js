// @ts-check
/** The vehicle form: lights up on the drawing what is being typed, and says beside each field what is wrong. */

/** Figures that are drawn under another one's name. @type {Record<string, string>} */
const DRAWN_AS = { unsprung_front: "front_axle", unsprung_rear: "rear_axle", rf_up: "lf_up", rr_up: "lr_up" };

/** @param {string} name @returns {string} */
function drawnName(name) {
  name = name.replace(/^set-\d-/, "");
  const zone = /^(lf|rf|lr|rr)_(along|across|contact|limit|flange_.*)$/.exec(name);
  return zone ? `${zone[1]}_zone` : DRAWN_AS[name] ?? name;
}

const form = document.getElementById("entry");
const said = document.getElementById("said");
let current = "";

/** Light up the dimension of the field that has the focus, and name it in large letters. */
function light() {
  for (const part of document.querySelectorAll(".us-vehicle .lit")) part.classList.remove("lit");
  const caption = document.getElementById("lit");
  const input = document.getElementById(`f-${current}`);
  if (!current || !caption || !input) return;
  const key = CSS.escape(drawnName(current));
  for (const part of document.querySelectorAll(`.us-vehicle [data-key="${key}"]`)) part.classList.add("lit");
  bring(document.querySelector(".us-vehicle .lit"));
  const label = document.querySelector(`label[for="${CSS.escape(input.id)}"]`);
  const section = input.closest(".corner-fields")?.querySelector("h4")?.textContent ?? "";
  const value = input instanceof HTMLInputElement ? input.value : "";
  caption.textContent = [section, label?.firstChild?.textContent?.trim(), value].filter(Boolean).join(" · ");
}

/** Scroll the drawing, where it is larger than its window, to the part that is lit. @param {Element | null} part */
function bring(part) {
  const box = document.querySelector(".entry .vehicle-drawing");
  if (!part || !box || (box.scrollWidth <= box.clientWidth && box.scrollHeight <= box.clientHeight)) return;
  const at = part.getBoundingClientRect(), window = box.getBoundingClientRect();
  box.scrollLeft += (at.left + at.right - window.left - window.right) / 2;
  box.scrollTop += (at.top + at.bottom - window.top - window.bottom) / 2;
}

bring(document.querySelector('.us-vehicle [data-key="wheelbase"]'));

/** Open every fold round an element. @param {Element | null} inside */
function unfold(inside) {
  for (let e = inside?.closest("details"); e; e = e.parentElement?.closest("details")) e.open = true;
}

/** Say at each section how many of its figures are typed. */
function count() {
  for (const section of document.querySelectorAll("details.section")) {
    const all = Array.from(section.querySelectorAll("input:not([type=hidden], [type=checkbox]), select, textarea"));
    const fields = /** @type {(HTMLInputElement | HTMLSelectElement)[]} */ (all.filter((e) => !e.closest(".listrow")));
    const rows = section.querySelectorAll(".listrow").length;
    const filled = section.querySelector("[data-filled]");
    const wrong = section.querySelector("[aria-invalid]") ? " !" : "";
    const typed = fields.filter((f) => f.value).length;
    const used = Array.from(section.querySelectorAll(".listrow")).filter((row) =>
      Array.from(row.querySelectorAll("input, textarea")).some((i) => /** @type {HTMLInputElement} */ (i).value)).length;
    if (filled) filled.textContent = (rows ? String(used) : `${typed}/${fields.length}`) + wrong;
  }
}

/** Put what the check said beside its field. */
function tell() {
  for (const say of document.querySelectorAll(".say")) say.textContent = "";
  for (const input of document.querySelectorAll("#entry [aria-invalid]")) input.removeAttribute("aria-invalid");
  for (const line of said?.querySelectorAll("[data-field], [data-odd]") ?? []) {
    if (!(line instanceof HTMLElement)) continue;
    const name = line.dataset.field ?? line.dataset.odd ?? "";
    const say = document.getElementById(`s-${name}`);
    if (!say) continue;
    say.textContent = line.querySelector("span")?.textContent ?? "";
    if (line.dataset.field) document.getElementById(`f-${name}`)?.setAttribute("aria-invalid", "true");
  }
  count();
}

form?.addEventListener("focusin", (event) => {
  const input = /** @type {HTMLElement} */ (event.target);
  if (!(input instanceof HTMLInputElement || input instanceof HTMLSelectElement)) return;
  current = input.name;
  const slot = /** @type {HTMLElement | null} */ (input.closest(".pointset"))?.dataset.slot;
  const drawn = document.getElementById("drawn");
  if (slot && drawn instanceof HTMLInputElement && drawn.value !== slot) {
    drawn.value = slot;
    form.dispatchEvent(new Event("change"));
  }
  light();
});
form?.addEventListener("input", () => {
  light();
  const saved = document.getElementById("saved");
  if (saved) saved.textContent = saved.dataset.changed ?? "";
});
said?.addEventListener("click", (event) => {
  const link = /** @type {Element} */ (event.target).closest("a[href^='#f-']");
  if (link) unfold(document.getElementById(link.getAttribute("href")?.slice(1) ?? ""));
});
document.body.addEventListener("htmx:afterSwap", () => {
  tell();
  light();
});
// Enter in a field goes to the next one: a form half typed is not sent by a slip of the thumb.
form?.addEventListener("keydown", (event) => {
  const input = event.target;
  if (event.key !== "Enter" || !(input instanceof HTMLInputElement)) return;
  event.preventDefault();
  const all = Array.from(form.querySelectorAll("input:not([type=hidden]), select, textarea"));
  const next = all.slice(all.indexOf(input) + 1).find((e) => e.checkVisibility());
  if (next instanceof HTMLElement) next.focus();
});
tell();
// On a phone the form opens folded, but for its beginning and whatever needs a look.
if (window.matchMedia("(max-width: 36rem)").matches) {
  const asked = document.getElementById(location.hash.slice(1));
  for (const section of Array.from(document.querySelectorAll("details.section")).slice(1)) {
    const look = section.querySelector("[aria-invalid]") || section === asked;
    if (section instanceof HTMLDetailsElement && !look) section.open = false;
  }
  asked?.scrollIntoView();
}
