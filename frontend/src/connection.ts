// Whether the server is heard. One line at the foot of the page says so while it is not.
import { make } from "./page";
import { word } from "./words";

const back = new Set<() => void>();
let away = false;
let line: HTMLElement | null = null;

/** Calls back each time the server is heard again after a gap. */
export function whenBack(call: () => void): void {
  back.add(call);
}

/** The server did not answer. */
export function lost(): void {
  if (away) return;
  away = true;
  show(word("gap"));
}

/** The server answered. */
export function heard(): void {
  if (!away) return;
  away = false;
  show("");
  for (const call of back) call();
}

function show(text: string): void {
  line ??= document.getElementById("connection") ?? foot();
  line.textContent = text;
  line.hidden = text === "";
  document.documentElement.toggleAttribute("data-away", text !== "");
}

function foot(): HTMLElement {
  const element = make("p", { id: "connection", role: "status", hidden: true });
  document.body.append(element);
  return element;
}

/** Waits between tries [ms]: twice as long each time, at most 5 s, a little apart so that tabs don't come at once. */
export function wait(tries: number): number {
  return Math.min(5000, 500 * 2 ** tries) * (0.8 + 0.4 * Math.random());
}
