// @ts-check
/** The vehicle form: lights up on the drawing what is being typed, and says beside each field what is wrong. */

/** Figures that are drawn under another one's name. @type {Record<string, string>} */
const DRAWN_AS = { unsprung_front: "front_axle", unsprung_rear: "rear_axle", rf_up: "lf_up", rr_up: "lr_up" };

/** @param {string} name @returns {string} */
function drawnName(name) {
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
  const label = document.querySelector(`label[for="${CSS.escape(input.id)}"]`);
  const section = input.closest(".corner-fields")?.querySelector("h3")?.textContent ?? "";
  const value = input instanceof HTMLInputElement ? input.value : "";
  caption.textContent = [section, label?.firstChild?.textContent?.trim(), value].filter(Boolean).join(" · ");
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
    say.lang = "en";
    if (line.dataset.field) document.getElementById(`f-${name}`)?.setAttribute("aria-invalid", "true");
  }
}

form?.addEventListener("focusin", (event) => {
  const input = /** @type {HTMLElement} */ (event.target);
  if (!(input instanceof HTMLInputElement || input instanceof HTMLSelectElement)) return;
  current = input.name;
  light();
});
form?.addEventListener("input", light);
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
  const next = all.slice(all.indexOf(input) + 1).find((e) => e instanceof HTMLElement && e.offsetParent);
  if (next instanceof HTMLElement) next.focus();
});
tell();
