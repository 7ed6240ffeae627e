// At the bench: what is ticked off or measured is kept on the phone first, and sent when the server is heard.
import { client, formKey, make, project } from "./page";
import { Queue } from "./queue";
import { refreshPage } from "./swap";
import { NoAnswer, fetched } from "./talk";
import { word } from "./words";

/** One field as it was left. A later one of the same field takes its place. */
interface Entry {
  action: string;
  name: string;
  value: string;
  at: string;
}

const queue = new Queue(sendNext);

export function start(): void {
  const forms = document.querySelectorAll<HTMLFormElement>("form[data-bench]");
  for (const form of forms) adopt(form);
  if (forms.length === 0 && entries().length === 0) return;
  addEventListener("online", () => void queue.send());
  void queue.send();
  startKeys();
}

function adopt(form: HTMLFormElement): void {
  form.addEventListener("submit", (event) => event.preventDefault());
  for (const button of form.querySelectorAll<HTMLElement>("[data-plain]")) button.hidden = true;
  for (const field of form.querySelectorAll<HTMLInputElement>("input[name]:not([type=hidden])")) {
    bringBack(form, field);
    const event = field.type === "checkbox" ? "change" : "input";
    field.addEventListener(event, () => left(form, field));
  }
}

function valueOf(field: HTMLInputElement): string {
  return field.type === "checkbox" ? (field.checked ? "1" : "") : field.value;
}

function bringBack(form: HTMLFormElement, field: HTMLInputElement): void {
  const known = entries().find((entry) => entry.action === form.action && entry.name === field.name);
  if (!known) return;
  if (field.type === "checkbox") field.checked = known.value !== "";
  else field.value = known.value;
}

function left(form: HTMLFormElement, field: HTMLInputElement): void {
  const others = entries().filter((entry) => entry.action !== form.action || entry.name !== field.name);
  const at = new Date().toISOString();
  write([...others, { action: form.action, name: field.name, value: valueOf(field), at }]);
  queue.later(field.type === "checkbox" ? 0 : 600);
}

// ---------------------------------------------------------------- kept on the phone, through a reload and a closed page
function place(): string {
  return `handbarrow:${project()}:bench`;
}

function entries(): Entry[] {
  try {
    return unkept ?? (JSON.parse(localStorage.getItem(place()) ?? "[]") as Entry[]);
  } catch {
    return [];
  }
}

/** Where the browser keeps nothing (full, or forbidden), at least as long as the page is open. */
let unkept: Entry[] | null = null;

function write(all: Entry[]): void {
  try {
    localStorage.setItem(place(), JSON.stringify(all));
    unkept = null;
  } catch {
    unkept = all;
  }
  const line = document.getElementById("bench-waiting") ?? waitingLine();
  line.textContent = all.length > 0 ? word("bench_waiting", { count: all.length }) : "";
}

function waitingLine(): HTMLElement {
  const line = make("p", { id: "bench-waiting", role: "status" });
  (document.querySelector("form[data-bench]") ?? document.body).append(line);
  return line;
}

// ---------------------------------------------------------------- sending, oldest first
async function sendNext(): Promise<boolean> {
  const entry = entries()[0];
  const said = entry && (await sendOne(entry));
  if (!said) return false; // nothing more, or not let in any more: all stays until the page is read again
  const sent = JSON.stringify(entry);
  write(entries().filter((one) => JSON.stringify(one) !== sent));
  tell(entry, said);
  if (entries().length === 0) void refreshPage();
  return true;
}

/** What the server says of a field: what is wrong with it, empty if it was taken; of a measured value how it lies. */
interface Said {
  refused: string;
  inside: boolean | null;
}

/** Sends one field; null if this device is not let in any more. */
async function sendOne(entry: Entry): Promise<Said | null> {
  const body = new URLSearchParams({ token: formKey(), [entry.name]: entry.value, field: entry.name, at: entry.at, client });
  const answer = await fetched(entry.action, { method: "POST", body, headers: { Accept: "application/json" } });
  if (answer.status >= 500) throw new NoAnswer();
  if (answer.status === 401 || answer.status === 403) {
    (document.getElementById("bench-waiting") ?? waitingLine()).textContent = word("bench_shut", { count: entries().length });
    return null;
  }
  const told = (await answer.json().catch(() => ({}))) as {
    inside?: (boolean | null)[];
    findings?: { wrong: string; expected: string; fix: string }[];
  };
  if (answer.ok) return { refused: "", inside: told.inside?.[0] ?? null };
  const first = told.findings?.[0];
  return { refused: first ? word("finding", { ...first }) : word("refused"), inside: null };
}

function tell(entry: Entry, { refused, inside }: Said): void {
  for (const form of document.querySelectorAll<HTMLFormElement>("form[data-bench]")) {
    if (form.action !== entry.action) continue;
    const field = form.querySelector<HTMLInputElement>(`input[name="${CSS.escape(entry.name)}"]`);
    if (!field) continue;
    const id = `said-${entry.name}`;
    const said = document.getElementById(id) ?? make("p", { id, class: "said", "aria-live": "polite" });
    const row = field.closest("[data-row]");
    row?.append(said);
    row?.querySelector(".verdict:not(.said)")?.remove(); // what the page said of the value before
    row?.classList.toggle("good", inside === true);
    row?.classList.toggle("bad", inside === false);
    said.classList.toggle("verdict", inside !== null);
    said.textContent = refused || (inside === null ? "" : word(inside ? "measure_inside" : "measure_outside"));
    field.toggleAttribute("data-sent", refused === "");
    if (refused) field.setAttribute("aria-invalid", "true");
    else field.removeAttribute("aria-invalid");
  }
}

// ---------------------------------------------------------------- next and previous
/** Left and right arrows turn the page, where no field has the focus. */
function startKeys(): void {
  document.addEventListener("keydown", (event) => {
    if (event.target instanceof HTMLInputElement || event.ctrlKey || event.metaKey || event.altKey) return;
    const way = event.key === "ArrowRight" ? "next" : event.key === "ArrowLeft" ? "prev" : "";
    if (way) document.querySelector<HTMLAnchorElement>(`a[rel="${way}"]`)?.click();
  });
}
