// Starts whatever this page has. Each module for itself: if one fails, the others and the plain page still work.
import * as bench from "./bench";
import * as events from "./events";
import * as limits from "./limits";
import { showPart } from "./panel";
import { shown } from "./picture";
import * as sizes from "./sizes";
import * as state from "./state";
import { fetched } from "./talk";
import { refreshPage } from "./swap";
import * as work from "./work";
import { word } from "./words";
import { make, project } from "./page";

function guarded(name: string, begin: () => void | Promise<void>): void {
  const failed = (error: unknown) => console.error(`workbench: ${name} does not work here`, error);
  try {
    void Promise.resolve(begin()).catch(failed);
  } catch (error) {
    failed(error);
  }
}

async function startViewer(host: HTMLElement): Promise<void> {
  try {
    const first = firstScene(host); // asked for while the viewer's own file is still on its way
    const [{ Viewer }] = await Promise.all([import("./viewer/index"), styled()]);
    const viewer = new Viewer(host, first);
    Object.assign(host, { whereOnScreen: viewer.whereOnScreen.bind(viewer) });
    const panel = document.getElementById("part-panel") ?? host.insertAdjacentElement("afterend", partPanel());
    if (!(panel instanceof HTMLElement)) return;
    host.addEventListener("part", (event) => {
      const piece = (event as CustomEvent<{ part: string } | null>).detail;
      void showPart(panel, piece?.part ?? "");
    });
    panel.addEventListener("closed", () => viewer.choose(null));
  } catch (error) {
    // No WebGL, or not enough of it. What the server put here stays, with a word on why nothing turns.
    plainPicture(host);
    const { picture, alt } = host.dataset;
    if (picture) host.append(make("img", { src: picture, alt: alt ?? "" }));
    host.append(make("p", { class: "no-3d", role: "status" }, word("no_3d")));
    host.setAttribute("data-flat", "");
    console.info("workbench: no 3-D here", error);
  }
}

/** The scene of the state that the page was made from. */
function firstScene(host: HTMLElement): { number: number; bytes: Promise<ArrayBuffer | null> } {
  const number = Number(host.dataset["number"] ?? -1);
  const bytes = fetched(state.api(`scene.glb?number=${number}`)).then((answer) => (answer.ok ? answer.arrayBuffer() : null));
  return { number, bytes: bytes.catch(() => null) };
}

/** Fetches the viewer's own style sheet; it lies beside this file. */
function styled(): Promise<void> {
  const link = make("link", { rel: "stylesheet", href: new URL("./viewer.css", import.meta.url).href });
  const done = new Promise<void>((resolve) => {
    link.addEventListener("load", () => resolve());
    link.addEventListener("error", () => resolve());
  });
  document.head.append(link);
  return done;
}

/** What the server drew for browsers without scripts serves those without 3-D too. */
function plainPicture(host: HTMLElement): void {
  const plain = host.querySelector("noscript")?.textContent;
  if (!plain) return;
  const drawn = new DOMParser().parseFromString(plain, "text/html");
  host.append(...[...drawn.body.childNodes].map((node) => document.importNode(node, true)));
}

function partPanel(): HTMLElement {
  return make("aside", { id: "part-panel", "aria-live": "polite", "aria-label": word("part"), hidden: true });
}

function startSteps(): void {
  for (const button of document.querySelectorAll<HTMLButtonElement>("button[name=step]")) {
    button.addEventListener("click", (event) => {
      event.preventDefault();
      void sizes.step(button.value === "redo" ? "redo" : "undo");
    });
  }
  document.addEventListener("keydown", (event) => {
    const in_text = event.target instanceof HTMLInputElement || event.target instanceof HTMLTextAreaElement;
    if (in_text || !(event.ctrlKey || event.metaKey) || event.altKey) return;
    const key = event.key.toLowerCase();
    if (key !== "z" && key !== "y") return;
    event.preventDefault();
    void sizes.step(key === "y" || event.shiftKey ? "redo" : "undo");
  });
}

const form = document.getElementById("sizes");
const viewer = document.getElementById("viewer");

guarded("bench", bench.start);
guarded("work", work.start);
if (project()) guarded("events", events.start);
if (form) {
  guarded("sizes", () => sizes.start(form));
  guarded("limits", () => limits.start(form));
  guarded("steps", startSteps);
}
if (form || viewer) {
  guarded("page", () => state.follow((_, from) => void (from === "first" || shown().then(refreshPage))));
  guarded("state", state.start);
}
if (viewer) guarded("viewer", () => startViewer(viewer));
document.documentElement.setAttribute("data-ready", "");
