// Big number keys for wet fingers. They stand in for the device's own keyboard
// where the pointer is coarse; a keyboard, if there is one, works all the same.

let pad: HTMLElement | null = null;
let into: HTMLInputElement | null = null;

const KEYS = ["7", "8", "9", "⌫", "4", "5", "6", "−", "1", "2", "3", "Next", "0", ".", "Clear", "Done"];
const NAMES: Record<string, string> = { "⌫": "Delete the last figure", "−": "Minus", ".": "Decimal point" };

function build(): HTMLElement {
  const el = document.createElement("div");
  el.className = "keys";
  el.hidden = true;
  el.setAttribute("role", "group");
  el.setAttribute("aria-label", "Number keys");
  const line = document.createElement("p");
  line.setAttribute("aria-hidden", "true");
  el.append(line);
  for (const key of KEYS) {
    const b = document.createElement("button");
    b.type = "button";
    b.textContent = key;
    b.tabIndex = -1; // the figure keeps the focus
    if (NAMES[key]) b.setAttribute("aria-label", NAMES[key]);
    if (key.length > 1) b.classList.add("words");
    if (key === "Next") b.classList.add("go-on");
    b.addEventListener("pointerdown", (e) => e.preventDefault()); // do not take the focus away
    b.addEventListener("click", () => press(key));
    el.append(b);
  }
  document.body.append(el);
  return el;
}

function press(key: string): void {
  if (!into) return;
  if (key === "Done") return hide(true);
  if (key === "Next") return next();
  if (key === "⌫") into.value = into.value.slice(0, -1);
  else if (key === "Clear") into.value = "";
  else if (key === "−") into.value = into.value.startsWith("-") ? into.value.slice(1) : "-" + into.value;
  else if (key !== "." || !into.value.includes(".")) into.value += key;
  into.dispatchEvent(new Event("input", { bubbles: true }));
  tell();
}

// next goes to the next figure in sight, or puts the keys away after the last.
function next(): void {
  const all = [...document.querySelectorAll<HTMLInputElement>("input[data-pad]")].filter((i) => i.offsetParent !== null && (i === into || i.dataset.pad !== "aside"));
  const at = into ? all.indexOf(into) : -1;
  if (at < 0 || at + 1 >= all.length) return hide(true);
  all[at + 1].focus();
}

// tell repeats the word about the figure beside the keys, where the eye is.
function tell(): void {
  const line = pad?.querySelector("p");
  if (!line || !into) return;
  const word = into.closest("[data-expect]")?.querySelector("[data-word]")?.textContent || "";
  const name = into.closest("[data-expect]")?.querySelector("legend")?.textContent || into.labels?.[0]?.textContent || "";
  line.textContent = word || name;
}

function show(input: HTMLInputElement): void {
  pad ??= build();
  into = input;
  pad.hidden = false;
  document.body.classList.add("keyed");
  tell();
  requestAnimationFrame(() => input.scrollIntoView({ block: "center" }));
}

function hide(blur: boolean): void {
  if (!pad) return;
  pad.hidden = true;
  document.body.classList.remove("keyed");
  const was = into;
  into = null;
  if (blur) was?.blur();
}

export function keyPad(): void {
  const touch = matchMedia("(pointer: coarse)").matches || (navigator.maxTouchPoints > 0 && innerWidth < 700);
  if (!touch) return;
  document.querySelectorAll<HTMLInputElement>("input[data-pad]").forEach((i) => i.setAttribute("inputmode", "none"));
  document.addEventListener("focusin", (e) => {
    if (e.target instanceof HTMLInputElement && e.target.dataset.pad !== undefined) show(e.target);
    else if (e.target instanceof HTMLElement && !e.target.closest(".keys")) hide(false);
  });
  document.addEventListener("keydown", (e) => {
    if (e.key === "Escape") hide(true);
  });
  document.addEventListener("input", () => tell());
}
