// @ts-check
/** What every page shares: the token goes with each request that htmx or our own scripts send. */

/** @returns {string} */
export function token() {
  const meta = document.querySelector('meta[name="underset-token"]');
  return meta instanceof HTMLMetaElement ? meta.content : "";
}

document.addEventListener("htmx:configRequest", (event) => {
  /** @type {CustomEvent} */ (event).detail.headers["x-underset-token"] = token();
});

document.addEventListener("change", (event) => {
  const input = event.target;
  if (!(input instanceof HTMLInputElement) || input.type !== "file") return;
  const told = input.closest(".pick")?.querySelector(".chosen");
  if (told) told.textContent = Array.from(input.files || [], (file) => file.name).join(", ") || input.dataset.none || "";
});

const vehicle = document.querySelector('form[action="/plan"] select[name="vehicle"]');
const job = document.querySelector('form[action="/plan"] select[name="job"]');
if (vehicle instanceof HTMLSelectElement && job instanceof HTMLSelectElement) {
  const keep = () => {
    for (const option of Array.from(job.options)) {
      option.hidden = Boolean(option.dataset.vehicle) && option.dataset.vehicle !== vehicle.value;
      if (option.hidden && option.selected) job.value = "";
    }
  };
  vehicle.addEventListener("change", keep);
  keep();
}
