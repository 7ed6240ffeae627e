// What the last change changed: parts, cards and cuts, mass, price, results and findings, before and after.
import { heard, lost } from "./connection";
import { make, number } from "./page";
import { api, current } from "./state";
import { NoAnswer, ask, type Finding } from "./talk";
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
  checks?: CheckChange[];
}

interface CheckChange {
  title: string;
  was: string;
  now: string;
  verdict: { was: string | null; now: string | null };
}

/** Rest after the last change before price and checks are worked out, which takes the server some seconds [ms]. */
const REST = 1800;
/** As long as it may take [ms]. */
const PATIENCE = 60_000;
let rest = 0;

/** Shows what differs from a state: at once what is known at once, after a rest with price and checks. */
export async function lookWhatDiffers(since: number): Promise<void> {
  clearTimeout(rest);
  const number = current()?.number;
  if (await look(`since=${since}&cutting=false`, number))
    rest = window.setTimeout(() => void look(`since=${since}&checks=true`, number), REST);
}

/** Returns whether what was asked about still is the newest state. */
async function look(asked: string, state: number | undefined): Promise<boolean> {
  if (!document.getElementById("differences")) return false;
  try {
    const { status, body } = await ask<Difference>(api(`differences?${asked}`), PATIENCE);
    heard();
    if (status !== 200 || current()?.number !== state) return false;
    showDifferences(body);
    return true;
  } catch (error) {
    if (!(error instanceof NoAnswer)) throw error;
    lost();
    return false;
  }
}

/** Shows differences in the page's list of them; there may be none on this page. */
function showDifferences(found: Difference): void {
  const list = document.getElementById("differences");
  if (!list) return;
  const items = [...told(found), ...(found.known ? [...sums(found), ...checked(found), ...changed(found)] : [])];
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
    yield item(word("was_now", { what: name.replaceAll("_", " "), was: was === null ? word("no_value") : number(was), now: number(now) }));
}

function* checked({ checks }: Difference): Generator<HTMLElement> {
  if (!checks) return yield item(word("checks_looking"), { class: "soft" });
  if (checks.length === 0) return yield item(word("checks_same"));
  const turned = checks.filter(({ verdict }) => verdict.was !== verdict.now);
  const said = (one: CheckChange) => word("was_now", { what: one.title, was: one.was, now: one.now });
  for (const one of turned) yield item(said(one), { class: one.verdict.now === "holds" ? "gone" : "came warning" });
  const lines = checks.filter((one) => !turned.includes(one)).map((one) => make("li", {}, said(one)));
  const head = make("summary", {}, word("checks_moved", { count: lines.length }));
  if (lines.length > 0) yield make("li", {}, make("details", {}, head, make("ul", {}, ...lines)));
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

function money(value: number | null, currency = ""): string {
  if (value === null) return word("no_value");
  return `${number(value, 0)} ${currency}`.trim();
}
