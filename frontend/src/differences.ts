// What the last change changed: parts, cards and cuts, mass, price, results and findings, before and after.
import { make, language } from "./page";
import type { Finding } from "./talk";
import { word } from "./words";

interface Difference {
  known: boolean;
  parts: { id: string; title: string; kinds: string[]; moved_only: boolean; lines: string[] }[];
  cards: string[];
  cuts: string[];
  batch: { name: string; title: string }[];
  mass?: { was: string; now: string };
  price?: { was: number | null; now: number | null } | null;
  currency?: string;
  results?: { name: string; was: number | null; now: number }[];
  findings: { new: Finding[]; gone: Finding[] };
}

/** Shows differences in the page's list of them; there may be none on this page. */
export function showDifferences(differences: unknown): void {
  const list = document.getElementById("differences");
  if (!list || typeof differences !== "object" || differences === null) return;
  const found = differences as Difference;
  const items = [...told(found), ...(found.known ? [...sums(found), ...changed(found)] : [])];
  list.replaceChildren(...(items.length > 0 ? items : [item(word("no_difference"))]));
  list.removeAttribute("hidden");
  list.closest<HTMLElement>("[data-differences]")?.removeAttribute("hidden");
}

function* told(found: Difference): Generator<HTMLElement> {
  for (const finding of found.findings.new) {
    const text = word("finding", { wrong: finding.wrong, expected: finding.expected, fix: finding.fix });
    yield item(text, { class: `came ${finding.severity ?? "error"}`, "data-code": finding.code });
  }
  for (const finding of found.findings.gone) yield item(word("finding_gone", { wrong: finding.wrong }), { class: "gone" });
}

function* sums(found: Difference): Generator<HTMLElement> {
  const { mass, price, results } = found;
  if (mass && mass.was !== mass.now) yield item(word("was_now", { what: word("mass"), ...mass }));
  if (price && price.was !== price.now) {
    const values = { what: word("price"), was: money(price.was, found.currency), now: money(price.now, found.currency) };
    yield item(word("was_now", values));
  }
  for (const { name, was, now } of results ?? [])
    yield item(word("was_now", { what: name, was: was === null ? word("no_value") : number(was), now: number(now) }));
}

function* changed(found: Difference): Generator<HTMLElement> {
  const made = found.parts.filter((part) => !part.moved_only);
  const moved = found.parts.filter((part) => part.moved_only);
  if (made.length > 0) {
    const counts = { parts: made.length, cards: found.cards.length, cuts: found.cuts.length };
    yield item(word("parts_changed", counts), { class: "head" });
  }
  for (const part of made) {
    const lines = make("ul", {}, ...part.lines.map((line) => make("li", {}, line)));
    const title = make("summary", {}, make("a", { href: `part/${encodeURIComponent(part.id)}` }, part.title));
    yield make("li", { "data-part": part.id }, make("details", {}, title, lines));
  }
  if (moved.length > 0) yield item(word("parts_moved", { parts: moved.map((part) => part.title).join(", ") }));
  if (found.batch.length > 0) yield item(word("batch_changed", { what: found.batch.map((one) => one.title).join(", ") }));
}

function item(text: string, attributes: Record<string, string> = {}): HTMLElement {
  return make("li", attributes, text);
}

function number(value: number): string {
  return new Intl.NumberFormat(language(), { maximumFractionDigits: 1 }).format(value);
}

function money(value: number | null, currency = ""): string {
  if (value === null) return word("no_value");
  return `${new Intl.NumberFormat(language(), { maximumFractionDigits: 0 }).format(value)} ${currency}`.trim();
}
