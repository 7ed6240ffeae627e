// Sizes: what is typed goes to the server a moment later; nothing typed is ever lost.
import { heard, lost } from "./connection";
import { lookWhatDiffers } from "./differences";
import { Field, isTyped } from "./field";
import { client, make } from "./page";
import { shown as pictureShown } from "./picture";
import { Queue } from "./queue";
import { sentence } from "./said";
import { api, current, follow, take, type Size, type State } from "./state";
import { NoAnswer, tell, type Finding } from "./talk";
import { word } from "./words";

/** Rest after the last key before a size is sent [ms]. */
const REST = 450;

interface Reply {
  state: State;
  /** Number of the state before. */
  since: number;
  /** What the other wants; only where the answer is 409. */
  theirs?: string;
  findings?: Finding[];
}

const fields = new Map<string, Field>();
const queue = new Queue(sendNext);

export function start(form: HTMLElement): void {
  for (const input of form.querySelectorAll<HTMLInputElement>("[data-size] input[name=text]")) adopt(input);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    fields.forEach((field) => (field.refused = null)); // asked for: what was refused is tried again
    void queue.send();
  });
  form.setAttribute("data-live", "");
  for (const button of form.querySelectorAll<HTMLElement>("[data-size] button")) button.hidden = true;
  follow(show);
  addEventListener("pagehide", () => fields.forEach((field) => field.remember()));
}

function adopt(input: HTMLInputElement): void {
  const field = new Field(input);
  fields.set(field.name, field);
  input.addEventListener("input", () => {
    field.typed(current()?.number ?? null);
    if (field.theirs !== null && input.value.trim() === field.theirs.trim()) field.replace(field.theirs);
    else if (field.theirs !== null) question(field, field.theirs);
    due(field, REST);
  });
  input.addEventListener("change", () => due(field, 0));
  input.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && isTyped(field)) field.giveUp();
  });
  if (field.recall()) {
    if (field.theirs !== null) question(field, field.theirs);
    due(field, REST);
  }
}

function due(field: Field, rest: number): void {
  clearTimeout(field.timer);
  if (isTyped(field)) field.timer = window.setTimeout(() => void queue.send(), rest);
}

// ---------------------------------------------------------------- sending, one at a time
async function sendNext(): Promise<boolean> {
  const field = [...fields.values()].find((one) => one.isDue());
  if (field) await sendOne(field);
  return field !== undefined;
}

async function sendOne(field: Field): Promise<void> {
  const text = field.input.value;
  const base = field.base ?? current()?.number ?? null;
  field.input.setAttribute("aria-busy", "true");
  try {
    const { status, body } = await tell<Reply>(api("size"), { base, name: field.name, text, client, differences: false });
    if (status === 200) accepted(field, text, body);
    else if (status === 409 && body.state) differs(field, text, body);
    else refused(field, text, body.findings ?? []);
  } finally {
    field.input.removeAttribute("aria-busy");
  }
}

function accepted(field: Field, text: string, body: Reply): void {
  const saved = body.state.sizes.find((size) => size.name === field.name)?.text ?? text;
  field.accepted(text, saved, body.state.number);
  moved(body);
}

/** The picture first; what differs is asked for when it stands. */
function moved({ state, since }: Reply): void {
  take(state, "mine");
  if (since !== state.number) void pictureShown().then(() => lookWhatDiffers(since));
}

function refused(field: Field, text: string, findings: Finding[]): void {
  field.refused = text;
  field.say(findings.length > 0 ? findings.map(sentence) : [make("p", {}, word("refused"))]);
  field.input.setAttribute("aria-invalid", "true");
}

/** Another changed the project meanwhile. Only where it was this very size is there anything to ask. */
function differs(field: Field, text: string, body: Reply): void {
  const theirs = body.theirs ?? body.state.sizes.find((size) => size.name === field.name)?.text ?? field.saved;
  field.base = body.state.number;
  if (theirs.trim() === text.trim()) {
    field.accepted(text, theirs, body.state.number); // our own, whose answer was lost; or both want the same
  } else if (theirs.trim() !== field.saved.trim()) {
    question(field, theirs);
  } // else sent again from the new state
  take(body.state, "theirs");
}

/** Steps back or forth in what was changed. */
export async function step(way: "undo" | "redo"): Promise<void> {
  try {
    const { status, body } = await tell<Reply>(api(way), { base: current()?.number, client, differences: false });
    heard();
    if (status === 200) moved(body);
    else if (body.state) take(body.state, "theirs");
  } catch (error) {
    if (!(error instanceof NoAnswer)) throw error;
    lost();
  }
}

// ---------------------------------------------------------------- what is said beside a field
function question(field: Field, theirs: string): void {
  field.theirs = theirs;
  const yours = field.input.value;
  const mine = make("button", { type: "button", class: "choice" }, word("use_yours", { text: yours }));
  const other = make("button", { type: "button", class: "choice" }, word("use_theirs", { text: theirs }));
  mine.addEventListener("click", () => {
    field.settle(theirs, current()?.number ?? field.base);
    field.input.focus();
    void queue.send();
  });
  other.addEventListener("click", () => {
    field.settle(theirs, null);
    field.giveUp();
    field.input.focus();
  });
  field.say([make("p", {}, word("both_changed", { yours, theirs })), mine, other]);
  field.remember();
}

// ---------------------------------------------------------------- showing a state
function show(state: State): void {
  for (const size of state.sizes) {
    const field = fields.get(size.name);
    if (field) showSize(field, size);
  }
  for (const button of document.querySelectorAll<HTMLButtonElement>("button[name=step]")) {
    const is_undo = button.value === "undo";
    button.disabled = !(is_undo ? state.can_undo : state.can_redo);
    button.title = (is_undo ? state.undo_what : state.redo_what) ?? "";
  }
}

function showSize(field: Field, size: Size): void {
  for (const output of field.row.querySelectorAll<HTMLElement>("[data-value]")) output.textContent = shown(size);
  if (size.text.trim() === (field.theirs ?? field.saved).trim()) return field.mark();
  if (!isTyped(field)) field.replace(size.text);
  else if (size.text.trim() === field.input.value.trim()) field.accepted(field.input.value, size.text, null);
  else question(field, size.text);
}

function shown(size: Size): string {
  return size.value === null ? word("no_value") : `${size.shown} ${size.unit}`.trim();
}
