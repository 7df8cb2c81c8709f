// The water bench while figures are typed: the server is asked for what follows
// from them, and the address is kept so that the page can be found again. The
// page is whole without this: its form is sent by the button.

const PAUSE = 300; // ms without a key before the server is asked

// asked is the form as an address, without what was left empty.
function asked(form: HTMLFormElement): URLSearchParams {
  const all = new FormData(form), out = new URLSearchParams();
  for (const [name, value] of all) {
    if (typeof value !== "string" || value.trim() === "") continue;
    const of = name.split(".").slice(0, 2).join("."); // what a unit or a doubt belongs to
    if (of !== name && String(all.get(of) ?? "").trim() === "") continue;
    if (name.endsWith(".sample-unit") && String(all.get(of + ".sample") ?? "").trim() === "") continue;
    out.append(name, value);
  }
  for (const water of form.querySelectorAll<HTMLElement>("[data-filled]")) { // emptied is not the same as as the book has it
    const mark = water.dataset.filled + ".";
    if (![...out.keys()].some((name) => name.startsWith(mark))) out.append(mark + "air", "");
  }
  return out;
}

export function liveWaters(root: ParentNode): void {
  const form = root.querySelector<HTMLFormElement>("form[data-waters]");
  const out = root.querySelector<HTMLElement>("[data-findings]");
  if (!form || !out) return;
  let timer = 0, running: AbortController | undefined;

  const mark = () => {
    const bad = new Set([...out.querySelectorAll<HTMLElement>("[data-problem]")].map((p) => p.dataset.problem));
    for (const input of form.querySelectorAll<HTMLInputElement>(".measure > input[id]")) {
      input.toggleAttribute("aria-invalid", bad.has(input.id));
      if (bad.has(input.id)) input.setAttribute("aria-invalid", "true");
      input.closest(".measure")?.classList.toggle("bad", bad.has(input.id));
    }
  };

  const ask = async () => {
    running?.abort();
    running = new AbortController();
    const q = asked(form), page = new URL(form.action).pathname;
    const part = new URLSearchParams(q);
    part.set("part", "findings");
    out.setAttribute("aria-busy", "true");
    try {
      const answer = await fetch(page + "?" + part, { signal: running.signal, credentials: "same-origin" });
      if (!answer.ok || answer.redirected) throw new Error(String(answer.status));
      out.innerHTML = await answer.text();
      history.replaceState(null, "", page + "?" + q);
      mark();
    } catch (e) {
      if (e instanceof DOMException && e.name === "AbortError") return; // a newer question is on its way
      say(out, "What follows could not be worked out just now: the book does not answer. It is tried again with the next figure.");
    }
    out.removeAttribute("aria-busy");
  };

  form.addEventListener("input", () => {
    clearTimeout(timer);
    timer = window.setTimeout(() => void ask(), PAUSE);
  });
  form.addEventListener("submit", (e) => {
    e.preventDefault();
    clearTimeout(timer);
    void ask().then(() => out.focus());
  });
}

// say puts a sentence above what was last worked out.
function say(out: HTMLElement, words: string): void {
  out.querySelector("[data-silent]")?.remove();
  const p = document.createElement("p");
  p.className = "wrong";
  p.dataset.silent = "";
  p.setAttribute("role", "alert");
  p.textContent = words;
  out.prepend(p);
}
