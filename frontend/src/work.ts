// Long work in the background: begun by a form, followed to its end, stopped when asked. A reload picks it up again.
import { heard, lost, wait } from "./connection";
import { listen } from "./events";
import { client, keep, kept, make, project } from "./page";
import { sentence } from "./said";
import { api } from "./state";
import { refreshPage } from "./swap";
import { NoAnswer, ask, pause, tell, type Finding } from "./talk";
import { word } from "./words";

interface Work {
  id: string;
  kind: string;
  stage: "running" | "done" | "failed" | "cancelled";
  says: string;
  done: number;
  total: number;
  files: string[];
  findings: Finding[];
}

/** Time between looks where nothing is told of its own accord [ms]. */
const LOOK = 1000;

export function start(): void {
  for (const form of document.querySelectorAll<HTMLFormElement>("form[data-work]")) {
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      void begin(form);
    });
    const known = kept(place(form));
    if (known) void follow(form, known);
  }
}

function place(form: HTMLFormElement): string {
  return `${project()}:work:${form.dataset["work"]}`;
}

async function begin(form: HTMLFormElement): Promise<void> {
  const options: Record<string, string> = {};
  let units = 1;
  for (const [name, value] of new FormData(form)) {
    if (name === "units") units = Number(value);
    else if (name !== "token" && typeof value === "string" && value !== "") options[name] = value;
  }
  const box = place_for(form);
  try {
    const body = { kind: form.dataset["work"], units, options, client };
    const answer = await tell<Work>(api("under-way"), body);
    heard();
    if (answer.status >= 400) return refuse(box, answer.body.findings ?? []);
    keep(place(form), answer.body.id);
    await follow(form, answer.body.id);
  } catch (error) {
    if (!(error instanceof NoAnswer)) throw error;
    lost();
    box.replaceChildren(make("p", { role: "alert" }, word("gap_work")));
  }
}

/** Follows work to its end; gaps in the network are waited out. */
async function follow(form: HTMLFormElement, id: string): Promise<void> {
  const box = place_for(form);
  let woken: (() => void) | null = null;
  listen((told) => told.kind === "work" && told.id === id && woken?.());
  for (let tries = 0; ; ) {
    try {
      const { status, body } = await ask<Work>(api(`under-way/${encodeURIComponent(id)}`));
      heard();
      tries = 0;
      if (status !== 200) return forget(form, box); // the program was closed meanwhile
      show(box, body, form);
      if (body.stage !== "running") return;
    } catch (error) {
      if (!(error instanceof NoAnswer)) throw error;
      lost();
      await pause(wait(tries++));
    }
    await Promise.race([pause(LOOK), new Promise<void>((wake) => (woken = wake))]);
  }
}

function forget(form: HTMLFormElement, box: HTMLElement): void {
  keep(place(form), null);
  box.replaceChildren();
}

// ---------------------------------------------------------------- showing
function place_for(form: HTMLFormElement): HTMLElement {
  const known = form.nextElementSibling;
  if (known instanceof HTMLElement && known.hasAttribute("data-progress")) return known;
  const box = make("div", { "data-progress": true, role: "status" });
  form.insertAdjacentElement("afterend", box);
  return box;
}

function show(box: HTMLElement, work: Work, form: HTMLFormElement): void {
  const is_on = work.stage === "running";
  form.toggleAttribute("data-busy", is_on);
  for (const button of form.querySelectorAll<HTMLButtonElement>("button")) button.disabled = is_on;
  box.dataset["stage"] = work.stage;
  if (is_on) return progress(box, work);
  keep(place(form), work.stage === "done" ? work.id : null);
  const head = make("p", {}, word(`work_${work.stage}`));
  box.replaceChildren(head, ...work.findings.map(sentence));
  if (work.stage !== "done") return;
  if (work.kind === "cutting") return planned(form);
  if (!document.getElementById("files-made")) box.append(links(work.files));
  else void refreshPage(); // the page's own list of files
}

/** The page shows the plan when it is read anew; asked for once, so that it is not read again and again. */
function planned(form: HTMLFormElement): void {
  keep(place(form), null);
  location.reload();
}

function progress(box: HTMLElement, work: Work): void {
  let bar = box.querySelector("progress");
  if (!bar) {
    const stop = make("button", { type: "button" }, word("stop"));
    stop.addEventListener("click", () => {
      stop.disabled = true;
      void tell(api(`under-way/${encodeURIComponent(work.id)}/cancel`), { client }).catch(() => {
        stop.disabled = false;
      });
    });
    bar = make("progress", { "aria-label": word("progress") });
    box.replaceChildren(make("p", { class: "what" }), bar, stop);
  }
  const what = box.querySelector(".what");
  if (what) what.textContent = work.says || word("work_running");
  if (work.total > 0) {
    bar.max = work.total;
    bar.value = work.done;
  } else {
    bar.removeAttribute("value");
  }
}

function links(files: string[]): HTMLElement {
  const items = files.map((file) => {
    const href = api(`files/${file.split("/").map(encodeURIComponent).join("/")}`);
    return make("li", {}, make("a", { href }, file));
  });
  return make("ul", { class: "files" }, ...items);
}

function refuse(box: HTMLElement, findings: Finding[]): void {
  box.replaceChildren(...(findings.length > 0 ? findings.map(sentence) : [make("p", {}, word("refused"))]));
}
