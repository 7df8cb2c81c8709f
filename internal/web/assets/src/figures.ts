// The figures of a drawing: decoding them, finding the one at a moment, and
// saying it in the same words and decimals as the server does.

type Packed = {
  unit: string; decimals: number; zone: string;
  from: number; to: number; first: number; last: number; today: number;
  low: number | null; high: number | null;
  kits: string[]; readings: number[][]; levels: number[][]; fan: number[][]; deeds: number[][]; labels: string[];
};

// A row's first number becomes seconds since 1970.
export type Figures = Packed & { stops: number[] };

export function figuresOf(figure: Element): Figures | null {
  const text = figure.querySelector("script.chart-data")?.textContent;
  if (!text) return null;
  const d = JSON.parse(text) as Figures;
  for (const rows of [d.readings, d.levels, d.fan, d.deeds]) {
    let minute = Math.floor(d.from / 60);
    for (const row of rows) row[0] = (minute += row[0]) * 60;
  }
  const past = d.readings.length ? d.readings : d.levels;
  const stops = new Set([...past, ...d.fan].map((row) => row[0]));
  d.stops = [...stops].sort((a, b) => a - b);
  return d;
}

export function nearest(rows: number[][], t: number, within: number): number[] | undefined {
  let best: number[] | undefined;
  for (const row of rows) {
    const gap = Math.abs(row[0] - t);
    if (gap <= within && !(best && Math.abs(best[0] - t) <= gap)) best = row;
  }
  return best;
}

// The row at a moment between two rows, each figure in proportion.
export function between(rows: number[][], t: number): number[] | undefined {
  for (let i = 0; i < rows.length; i++) {
    const b = rows[i], a = rows[i - 1] ?? b;
    if (a[0] - 60 <= t && t <= b[0] + 60) {
      const w = b[0] > a[0] ? Math.min(Math.max((t - a[0]) / (b[0] - a[0]), 0), 1) : 1;
      return b.map((v, k) => a[k] + w * (v - a[k]));
    }
  }
}

export function number(v: number, decimals: number): string {
  return v.toLocaleString("en-GB", { minimumFractionDigits: decimals, maximumFractionDigits: decimals }).replace("-", "−");
}

// One figure of the doubt, two when it begins with a 1.
function plusMinus(mean: number, sd: number, decimals: number): string {
  if (!(sd > 0)) return number(mean, decimals);
  const magnitude = Math.floor(Math.log10(sd));
  const wanted = -magnitude + (sd / 10 ** magnitude < 1.95 ? 1 : 0);
  const shown = Math.max(0, Math.min(wanted, decimals + 2));
  return number(mean, shown) + " ± " + number(Math.max(sd, 10 ** -shown), shown);
}

export function moment(d: Figures, t: number, clock: boolean): string {
  const options: Intl.DateTimeFormatOptions = { day: "numeric", month: "short" };
  if (clock) Object.assign(options, { hour: "2-digit", minute: "2-digit" });
  const year = (s: number) => new Date(s * 1000).getFullYear();
  if (year(t) !== year(d.today)) options.year = "numeric";
  try {
    return new Date(t * 1000).toLocaleString("en-GB", { ...options, timeZone: d.zone });
  } catch { // a zone the browser does not know
    return new Date(t * 1000).toLocaleString("en-GB", { ...options, timeZone: "UTC" }) + " UTC";
  }
}

function band(d: Figures): string {
  const say = (v: number) => number(v, d.decimals);
  if (d.low !== null && d.high !== null) return "band " + say(d.low) + " to " + say(d.high);
  if (d.high !== null) return "band up to " + say(d.high);
  return d.low !== null ? "band from " + say(d.low) : "";
}

function readingWords(d: Figures, row: number[]): string {
  const value = number(row[1], d.decimals) + " " + d.unit;
  const kit = d.kits[row[3]] ? " by " + d.kits[row[3]] : "";
  return (row[4] === 2 ? "under " : "") + value + kit + (row[4] === 1 ? ", likely a misread" : "");
}

// All that is known of a moment; slack is how many seconds off still counts.
export function words(d: Figures, t: number, slack: number, reading?: number[]): string {
  const ahead = t > d.today && d.fan.length > 0;
  const parts = [moment(d, reading ? reading[0] : t, !!reading)];
  if (reading) parts.push(readingWords(d, reading));
  const level = between(d.levels, t), fan = between(d.fan, t);
  if (ahead && fan) {
    const [, low, middle, high] = fan.map((v) => number(v, d.decimals));
    parts.push("forecast " + middle + " " + d.unit, "nine chances in ten " + low + " to " + high);
  } else if (level) {
    parts.push("level " + plusMinus(level[1], level[2], d.decimals) + (reading ? "" : " " + d.unit));
  }
  if (band(d)) parts.push(band(d));
  const done = d.deeds.filter((row) => Math.abs(row[0] - t) <= slack).map((row) => d.labels[row[1]]);
  return parts.concat([...new Set(done)].slice(0, 3)).join(" · ");
}
