// A lost connection loses no typed value. What is typed into a form is kept on
// this device until the server has said that it holds it. A form that could not
// be sent waits here and is sent again, with the same line ids, so that nothing
// is stored twice.

import { liveWords } from "./word";

// A form that waits; refused when the book has seen it and said no.
type Waiting = { action: string; body: string; page: string; name: string; at: number; refused?: boolean };

const DRAFT = "driftline draft ";
const OUTBOX = "driftline outbox";
const DRAFT_DAYS = 3;

function read<T>(key: string, otherwise: T): T {
  try {
    const text = localStorage.getItem(key);
    return text ? (JSON.parse(text) as T) : otherwise;
  } catch {
    return otherwise;
  }
}

function write(key: string, value: unknown): void {
  try {
    if (value === null) localStorage.removeItem(key);
    else localStorage.setItem(key, JSON.stringify(value));
  } catch {
    // a full or forbidden store: the form still works, it just is not kept
  }
}

const bodyOf = (form: HTMLFormElement): string => new URLSearchParams(new FormData(form) as unknown as Record<string, string>).toString();

// the key of a form is its address without the ids a page may carry
const keyOf = (form: HTMLFormElement): string => DRAFT + new URL(form.action).pathname;

const outbox = (): Waiting[] => read<Waiting[]>(OUTBOX, []);
const setOutbox = (all: Waiting[]): void => write(OUTBOX, all.length ? all : null);

// restore puts a kept draft back, with the ids it was first given.
function restore(form: HTMLFormElement): void {
  const kept = read<{ body: string; at: number } | null>(keyOf(form), null);
  if (!kept || Date.now() - kept.at > DRAFT_DAYS * 86400e3) return write(keyOf(form), null);
  const values = new URLSearchParams(kept.body);
  for (const el of form.elements) {
    if (!(el instanceof HTMLInputElement || el instanceof HTMLSelectElement || el instanceof HTMLTextAreaElement) || !el.name) continue;
    if (el instanceof HTMLInputElement && el.type === "checkbox") el.checked = values.has(el.name);
    else if (values.has(el.name)) el.value = values.get(el.name) ?? "";
  }
  for (const test of form.querySelectorAll<HTMLElement>("[data-expect]")) test.dispatchEvent(new Event("input"));
  const others = form.querySelector("details.others");
  if (others && [...others.querySelectorAll<HTMLInputElement>("[data-value]")].some((i) => i.value !== "")) others.setAttribute("open", "");
}

// typed tells whether the visitor has entered anything worth keeping.
const typed = (form: HTMLFormElement): boolean =>
  [...form.querySelectorAll<HTMLInputElement | HTMLTextAreaElement>("input[type=text], textarea")].some((i) => i.value !== i.defaultValue);

async function send(action: string, body: string): Promise<Response> {
  return fetch(action, { method: "POST", body: new URLSearchParams(body), credentials: "same-origin" });
}

// submit sends the form; whatever happens, the typed values are kept until the
// answer says that they are in the book.
async function submit(form: HTMLFormElement, button: HTMLButtonElement | null): Promise<void> {
  const body = bodyOf(form);
  write(keyOf(form), { body, at: Date.now() });
  if (button) button.disabled = true;
  let answer: Response;
  try {
    answer = await send(form.action, body);
  } catch {
    wait(form, body);
    if (button) button.disabled = false;
    return;
  }
  if (button) button.disabled = false;
  await take(form, answer, body);
}

async function take(form: HTMLFormElement, answer: Response, body: string): Promise<void> {
  if (answer.redirected && answer.ok && !new URL(answer.url).pathname.startsWith("/enter")) {
    write(keyOf(form), null);
    setOutbox(outbox().filter((w) => w.body !== body));
    location.assign(answer.url);
    return;
  }
  if (answer.status >= 500 || answer.status === 401 || answer.redirected) {
    wait(form, body);
    return;
  }
  setOutbox(outbox().filter((w) => firstID(w.body) !== firstID(body))); // it is in hand on this page
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  const fresh = page.querySelector("main");
  const main = document.querySelector("main");
  if (!fresh || !main) return form.submit();
  main.replaceWith(fresh); // the same page with what is wrong marked on it
  for (const f of fresh.querySelectorAll<HTMLFormElement>("form[data-keep]")) watch(f, false);
  liveWords(fresh);
  show();
  const wrong = fresh.querySelector<HTMLElement>("[aria-invalid=true], .far input, .wrong");
  (wrong ?? fresh).scrollIntoView({ block: "center" });
  (wrong as HTMLElement | null)?.focus?.();
}

function wait(form: HTMLFormElement, body: string): void {
  const name = document.querySelector("h1")?.textContent || "A form";
  const all = outbox().filter((w) => firstID(w.body) !== firstID(body));
  all.push({ action: form.action, body, page: location.pathname + location.search, name: name.trim(), at: Date.now() });
  setOutbox(all);
  show();
  document.querySelector("[data-outbox]")?.scrollIntoView({ block: "center" });
}

function firstID(body: string): string {
  for (const [k, v] of new URLSearchParams(body)) if (k === "id" || k.startsWith("id.")) return v;
  return body;
}

// flush sends what waits. A form the book refuses stays, to be looked at.
async function flush(): Promise<void> {
  for (const w of outbox()) {
    if (w.refused) continue;
    let answer: Response;
    try {
      answer = await send(w.action, w.body);
    } catch {
      break; // still no connection
    }
    if (answer.redirected && answer.ok && !new URL(answer.url).pathname.startsWith("/enter")) {
      setOutbox(outbox().filter((x) => x.body !== w.body));
      write(DRAFT + new URL(w.action).pathname, null);
    } else if (answer.status >= 400 && answer.status < 500 && answer.status !== 401) {
      write(DRAFT + new URL(w.action).pathname, { body: w.body, at: Date.now() });
      setOutbox(outbox().map((x) => (x.body === w.body ? { ...x, refused: true } : x)));
    }
  }
  show();
}

// show says what waits, and offers to try again or to look at it.
function show(): void {
  const box = document.querySelector<HTMLElement>("[data-outbox]");
  if (!box) return;
  const all = outbox();
  box.replaceChildren();
  if (!all.length) return;
  for (const w of all) {
    const p = document.createElement("p");
    const when = new Date(w.at).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });
    p.textContent = w.refused
      ? `${w.name}, typed at ${when}: the book did not take this. Look at it and send it again, or throw it away.`
      : `${w.name}, typed at ${when}: this has not reached the book yet. It is kept on this device and sent when the connection is back.`;
    box.append(p);
    if (!w.refused) box.append(button("Try now", () => void flush()), " ");
    const look = document.createElement("a");
    look.href = w.page;
    look.className = "button";
    look.textContent = "Look at it";
    const drop = button("Throw it away", () => {
      setOutbox(outbox().filter((x) => x.body !== w.body));
      write(DRAFT + new URL(w.action).pathname, null);
      show();
    });
    box.append(look, " ", drop);
  }
}

function button(words: string, act: () => void): HTMLButtonElement {
  const b = document.createElement("button");
  b.type = "button";
  b.textContent = words;
  b.addEventListener("click", act);
  return b;
}

function watch(form: HTMLFormElement, fromStore: boolean): void {
  if (fromStore && form.dataset.keep === "bench") restore(form);
  form.addEventListener("input", () => {
    if (form.dataset.keep === "bench") write(keyOf(form), typed(form) ? { body: bodyOf(form), at: Date.now() } : null);
  });
  form.addEventListener("submit", (e) => {
    e.preventDefault();
    void submit(form, form.querySelector<HTMLButtonElement>("button:not([type=button])"));
  });
}

export function keepForms(): void {
  for (const f of document.querySelectorAll<HTMLFormElement>("form[data-keep]")) watch(f, true);
  addEventListener("online", () => void flush());
  if (outbox().length) void flush();
  show();
  setInterval(() => {
    if (outbox().some((w) => !w.refused)) void flush();
  }, 20000);
}
