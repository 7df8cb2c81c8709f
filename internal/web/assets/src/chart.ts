// Reading values off a chart, and choosing its span. The page is whole without
// this script: the drawing, its table and the links to other spans are all
// there. What it relies on is written by internal/chart:
//
//   <figure class="chart" data-src="ADDRESS">
//     nav.chart-spans > a[href="PAGE?from=T&to=T"]
//     div.chart-plot > svg[data-plot="x y width height"][data-axis="low high"], one for a phone, one for a wide page
//     p.chart-reading
//     details.chart-table
//     script.chart-data[type="application/json"]   see type Data in internal/chart/data.go
//
// A GET of ADDRESS?from=T&to=T, T in RFC 3339, answers with what the figure
// holds, drawn for that span; it replaces what is there. Any other answer leaves
// the drawing alone and says so.
//
// Pointer: hover reads; a drag across with the mouse chooses a span; a finger
// drawn sideways reads. Keys: left and right step through readings and days to
// come (with shift by ten), home and end, + and - for a closer and a wider span,
// escape puts the cross away. Nothing moves by itself.

import { between, Figures, figuresOf, nearest, words } from "./figures";

const HINT = "Point at the drawing, draw a finger across it, or use the arrow keys to read values.";

// The drawing in sight, and how its own units, its times and its values relate to the screen.
type View = {
  svg: SVGSVGElement; left: number; top: number; width: number; height: number;
  x: (t: number) => number; y: (value: number) => number;
  timeAt: (clientX: number) => number; seconds: (pixels: number) => number;
};

type Chart = { focus: () => void; goTo: (t: number) => void };

const held = (share: number) => Math.min(Math.max(share, 0), 1);

function viewOf(plot: Element, from: number, to: number): View | undefined {
  for (const svg of plot.querySelectorAll<SVGSVGElement>("svg[data-plot]")) {
    const rect = svg.getBoundingClientRect();
    if (!rect.width) continue; // the style sheet shows the other one
    const scale = svg.viewBox.baseVal.width / rect.width, span = to - from;
    const [left, top, width, height] = svg.dataset.plot!.split(" ").map(Number);
    const [low, high] = svg.dataset.axis!.split(" ").map(Number);
    return {
      svg, left, top, width, height,
      x: (t) => left + ((t - from) / span) * width,
      y: (value) => top + (1 - held((value - low) / (high - low))) * height,
      timeAt: (clientX) => from + held(((clientX - rect.left) * scale - left) / width) * span,
      seconds: (pixels) => ((pixels * scale) / width) * span,
    };
  }
}

// One drawing: load asks for another span and returns to the moment given.
function draw(figure: HTMLElement, d: Figures, load: (from: number, to: number, at?: number) => void): Chart {
  const plot = figure.querySelector<HTMLElement>(".chart-plot")!;
  const line = figure.querySelector<HTMLElement>(".chart-reading")!;
  let at: number | undefined; // the moment under the cross
  let dragFrom: number | undefined;
  let marks: Element[] = [];

  const view = () => viewOf(plot, d.from, d.to);

  const clear = () => {
    marks.forEach((mark) => mark.remove());
    marks = [];
    at = undefined;
  };

  const mark = (v: View, kind: string, attributes: Record<string, string | number>) => {
    const element = document.createElementNS("http://www.w3.org/2000/svg", kind);
    for (const name in attributes) element.setAttribute(name, String(attributes[name]));
    v.svg.append(element);
    marks.push(element);
  };

  const show = (v: View, t: number, aloud: boolean) => {
    clear();
    at = t;
    const reading = nearest(d.readings, t, 30);
    line.setAttribute("aria-live", aloud ? "polite" : "off");
    line.textContent = words(d, t, v.seconds(5), reading);
    mark(v, "path", { class: "crosshair", d: `M${v.x(t)} ${v.top}v${v.height}` });
    const value = reading ? reading[1] : t > d.today ? between(d.fan, t)?.[2] : between(d.levels, t)?.[1];
    if (value !== undefined) mark(v, "circle", { class: "spot", cx: v.x(t), cy: v.y(value), r: 6 });
  };

  const point = (e: PointerEvent) => {
    const v = view();
    if (!v) return;
    const t = v.timeAt(e.clientX);
    show(v, nearest(d.readings, t, v.seconds(12))?.[0] ?? t, false);
    if (dragFrom === undefined) return;
    const a = v.x(dragFrom), b = v.x(t);
    mark(v, "rect", { class: "chosen", x: Math.min(a, b), y: v.top, width: Math.abs(b - a), height: v.height });
  };

  const on = <K extends keyof HTMLElementEventMap>(kind: K, act: (e: HTMLElementEventMap[K]) => void) => plot.addEventListener(kind, act);

  on("pointerdown", (e) => {
    if (e.button) return;
    if (e.pointerType === "mouse") dragFrom = view()?.timeAt(e.clientX);
    plot.setPointerCapture(e.pointerId);
    point(e);
  });
  on("pointermove", point);
  on("pointerup", (e) => {
    const v = view(), from = dragFrom;
    dragFrom = undefined;
    if (!v || from === undefined) return;
    const to = v.timeAt(e.clientX);
    if (Math.abs(to - from) > v.seconds(8)) load(Math.min(from, to), Math.max(from, to));
    else point(e);
  });
  on("pointercancel", () => {
    dragFrom = undefined;
    clear();
  });
  on("pointerleave", (e) => {
    if (e.pointerType === "mouse" && dragFrom === undefined) clear();
  });
  on("blur", clear);

  const goTo = (t: number) => {
    const v = view();
    if (v && t >= d.from && t <= d.to) show(v, t, true);
  };

  const stop = (index: number) => {
    if (d.stops.length) goTo(d.stops[Math.min(Math.max(index, 0), d.stops.length - 1)]);
  };

  const zoom = (middle: number, factor: number) => {
    const half = ((d.to - d.from) * factor) / 2;
    load(middle - half, middle + half, at);
  };

  on("keydown", (e) => {
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    const here = at ?? Math.min(Math.max(d.today, d.from), d.to), more = e.shiftKey ? 9 : 0;
    const before = d.stops.filter((t) => t < here).length, upTo = d.stops.filter((t) => t <= here).length;
    const keys: Record<string, () => void> = {
      ArrowRight: () => stop(upTo + more),
      ArrowLeft: () => stop(before - 1 - more),
      Home: () => stop(0),
      End: () => stop(d.stops.length),
      "+": () => zoom(here, 0.5),
      "-": () => zoom(here, 2),
      Escape: () => {
        clear();
        line.textContent = HINT;
      },
    };
    const act = keys[e.key === "=" ? "+" : e.key];
    if (!act) return;
    e.preventDefault();
    act();
  });

  line.textContent = HINT;
  plot.tabIndex = 0;
  plot.setAttribute("role", "application");
  plot.setAttribute("aria-label", plot.querySelector("title")!.textContent + ". Arrow keys read values, plus and minus change the span.");
  return { focus: () => plot.focus({ preventScroll: true }), goTo };
}

// A figure outlives its drawings: each span asked for brings a new one.
function attend(figure: HTMLElement) {
  let asked = 0;
  let chart: Chart | undefined;
  const table = () => figure.querySelector<HTMLDetailsElement>("details")!;
  const links = () => [...figure.querySelectorAll<HTMLAnchorElement>(".chart-spans a")];

  const fetchSpan = async (from: string, to: string, then: () => void) => {
    const mine = ++asked, address = new URL(figure.dataset.src!, location.href), page = new URL(location.href);
    for (const { searchParams } of [address, page]) {
      searchParams.set("from", from);
      searchParams.set("to", to);
    }
    figure.setAttribute("aria-busy", "true");
    try {
      const answer = await fetch(address);
      if (!answer.ok || answer.redirected) throw answer.status;
      const inner = await answer.text();
      if (mine !== asked) return;
      const { open } = table();
      figure.innerHTML = inner;
      table().open = open;
      history.replaceState(history.state, "", page);
      start();
      then();
    } catch {
      if (mine === asked) figure.querySelector(".chart-reading")!.textContent = "The drawing for that span could not be fetched; this one is unchanged.";
    } finally {
      if (mine === asked) figure.removeAttribute("aria-busy");
    }
  };

  const start = () => {
    const d = figuresOf(figure);
    if (!d) return;
    chart = draw(figure, d, (from, to, at) => {
      const middle = (from + to) / 2, half = Math.max(to - from, 86400) / 2;
      from = Math.max(middle - half, d.first);
      to = Math.min(middle + half, d.last);
      if (to - from < 3600 || (from === d.from && to === d.to)) return;
      const text = (t: number) => new Date(t * 1000).toISOString().slice(0, 19) + "Z";
      void fetchSpan(text(from), text(to), () => {
        chart!.focus();
        if (at) chart!.goTo(at);
      });
    });
    for (const link of links()) link.addEventListener("click", (e) => {
      if (e.button || e.ctrlKey || e.metaKey || e.shiftKey || e.altKey) return;
      e.preventDefault();
      const query = new URL(link.href).searchParams;
      void fetchSpan(query.get("from")!, query.get("to")!, () =>
        (links().find((a) => a.textContent === link.textContent) ?? links()[0]).focus({ preventScroll: true }));
    });
  };

  start();
}

document.querySelectorAll<HTMLElement>("figure.chart[data-src]").forEach(attend);
