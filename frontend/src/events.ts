// One WebSocket for this tab: tells that the project changed, and how far background work is.
import { heard, lost, wait } from "./connection";
import { client, project } from "./page";

/** `state`: the project is in another state now. `work`: how far background work is. */
interface Told {
  kind?: string;
  number?: number;
  client?: string;
  id?: string;
}

type Listener = (told: Told) => void;

const listeners = new Set<Listener>();
let socket: WebSocket | null = null;
let tries = 0;
let timer = 0;

/** Calls back for everything that is told; `mine` says whether this tab did it. */
export function listen(call: (told: Told, mine: boolean) => void): void {
  listeners.add((told) => call(told, told.client === client));
}

/** Opens the socket and opens it again whenever it breaks. */
export function start(): void {
  if (!project()) return;
  addEventListener("online", again);
  addEventListener("pageshow", (event) => event.persisted && again());
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && again());
  open();
}

function open(): void {
  const scheme = location.protocol === "https:" ? "wss" : "ws";
  const address = `${scheme}://${location.host}/ws/p/${encodeURIComponent(project())}?client=${client}`;
  const here = new WebSocket(address);
  socket = here;
  let opened = false;
  here.addEventListener("open", () => {
    opened = true;
    tries = 0;
    heard();
  });
  here.addEventListener("message", (event) => {
    const told = read(event.data);
    if (told) for (const call of listeners) call(told);
  });
  here.addEventListener("close", (event) => {
    if (socket !== here) return;
    socket = null;
    if (event.code === 1008) return; // refused by rule, not by the network
    if (!opened) tries += 1;
    lost();
    timer = window.setTimeout(open, wait(tries));
  });
}

/** Tries at once, as the network or the person is back. */
function again(): void {
  if (socket) return;
  clearTimeout(timer);
  tries = 0;
  open();
}

function read(data: unknown): Told | null {
  try {
    const told: unknown = JSON.parse(String(data));
    return typeof told === "object" && told !== null ? (told as Told) : null;
  } catch {
    return null;
  }
}
