// The live word: before a reading is saved, how it compares with what was
// expected of it. The figures come with the page, so it speaks without a
// connection. Nothing is said before a figure is typed: a keeper who knows what
// to expect reads it into the drop.

type Expected = { m: number; s: number; t: string };

const FAR = 3; // standard deviations, as on the server

// figure reads what is typed the way the server does; null when it is no number.
export function figure(typed: string): number | null {
  let t = typed.replace(/\s/g, "").replace("−", "-");
  if (/^-?\d*,\d+$/.test(t)) {
    if (/^-?[1-9]\d*,\d{3}$/.test(t)) return null; // thousands or decimals: not guessed
    t = t.replace(",", ".");
  }
  return /^[-+]?(\d+\.?\d*|\.\d+)$/.test(t) ? Number(t) : null;
}

function say(test: HTMLElement): void {
  const value = test.querySelector<HTMLInputElement>("[data-value]");
  const unit = test.querySelector<HTMLSelectElement>("[data-unit]");
  const word = test.querySelector<HTMLElement>("[data-word]");
  if (!value || !unit || !word) return;
  const typed = value.value.trim();
  const v = figure(typed);
  const expected = parse<Record<string, Expected>>(test.dataset.expect)[unit.value];
  const below = test.querySelector<HTMLInputElement>("input[name^='below.']")?.checked ?? false;
  word.replaceChildren();
  test.classList.remove("far");
  if (typed === "") return;
  if (v === null) {
    word.textContent = /^-?[1-9]\d*,\d{3}$/.test(typed) ? "Write it without the comma." : "";
    return;
  }
  const sample = test.querySelector<HTMLInputElement>("input[name^='sample.']");
  if (sample?.offsetParent && sample.value.trim() !== "") {
    word.textContent = "It is corrected for the sample's temperature when it is kept.";
    test.classList.remove("far");
    return;
  }
  if (!expected) return;
  const gap = below ? expected.m - v : Math.abs(v - expected.m);
  const far = gap > FAR * expected.s;
  const span = document.createElement("span");
  span.textContent = far ? `Far from the ${expected.t} expected: read it again before saving.` : `${expected.t} was expected.`;
  if (far) span.className = "far";
  word.append(span);
  test.classList.toggle("far", far);
}

export function parse<T>(json: string | undefined): T {
  try {
    return JSON.parse(json || "{}") as T;
  } catch {
    return {} as T;
  }
}

// liveWords listens to every test on the page and remembers each kit's unit.
export function liveWords(root: ParentNode): void {
  root.querySelectorAll<HTMLElement>("[data-expect]").forEach((test) => {
    const kit = test.querySelector<HTMLSelectElement>("[data-kit]");
    const unit = test.querySelector<HTMLSelectElement>("[data-unit]");
    kit?.addEventListener("change", () => {
      const known = parse<Record<string, string>>(test.dataset.kits)[kit.value];
      if (known && unit) unit.value = known;
      say(test);
    });
    test.addEventListener("input", () => say(test));
    test.addEventListener("change", () => say(test));
    if (!test.querySelector("[data-word] .wrong")) say(test);
  });
}
