// How far a size can go before something stands against the product. It takes seconds to find out: only when asked.
import { heard, lost } from "./connection";
import { make, number } from "./page";
import { api } from "./state";
import { sentence } from "./said";
import { NoAnswer, ask, type Finding } from "./talk";
import { word } from "./words";

interface End {
  value: number;
  why: Finding | null;
}
interface Limits {
  unit: string;
  low: End;
  high: End;
  findings?: Finding[];
}

/** As long as the server may look [ms]. */
const PATIENCE = 60_000;

/** Offers it beside whichever size has the focus. */
export function start(form: HTMLElement): void {
  const button = make("button", { type: "button", class: "small how-far" }, word("how_far"));
  const said = make("div", { class: "limits", "aria-live": "polite" });
  button.addEventListener("click", () => void look(button, said));
  form.addEventListener("focusin", (event) => {
    const row = (event.target as HTMLElement).closest<HTMLElement>("[data-size]");
    if (!row || button.parentElement === row) return;
    said.replaceChildren();
    row.append(button, said);
  });
}

async function look(button: HTMLButtonElement, said: HTMLElement): Promise<void> {
  const name = button.closest<HTMLElement>("[data-size]")?.dataset["size"] ?? "";
  button.disabled = true;
  said.replaceChildren(word("looking"));
  try {
    const { body } = await ask<Limits>(api(`limits/${encodeURIComponent(name)}`), PATIENCE);
    heard();
    if (button.closest<HTMLElement>("[data-size]")?.dataset["size"] === name) said.replaceChildren(...sentences(body));
  } catch (error) {
    if (!(error instanceof NoAnswer)) throw error;
    lost();
    said.replaceChildren();
  } finally {
    button.disabled = false;
  }
}

function sentences(found: Limits): HTMLElement[] {
  if (found.findings) return found.findings.map(sentence);
  const { low, high, unit } = found;
  const out = [make("p", {}, word("limits", { low: number(low.value), high: number(high.value), unit }))];
  if (low.why) out.push(make("p", {}, word("limits_low", { wrong: low.why.wrong })));
  if (high.why) out.push(make("p", {}, word("limits_high", { wrong: high.why.wrong })));
  if (!low.why || !high.why) out.push(make("p", {}, word("limits_open")));
  return out;
}
