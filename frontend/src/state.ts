// What the project is now, as the server last told it. Everyone who shows some of it listens here.
import { heard, lost, whenBack } from "./connection";
import { listen } from "./events";
import { project } from "./page";
import { NoAnswer, ask, type Finding } from "./talk";

export interface Size {
  name: string;
  value: number | null;
  shown: string;
  unit: string;
  formula: string | null;
  /** What a person may write anew. */
  text: string;
}

export interface Assembly {
  name: string;
  positions: { name: string }[];
}

export interface State {
  number: number;
  digest: string;
  workable: boolean;
  sizes: Size[];
  findings: Finding[];
  assemblies: Assembly[];
  can_undo: boolean;
  can_redo: boolean;
  undo_what?: string;
  redo_what?: string;
}

/** Where a state came from: an answer to this tab, another tab or person, or the first look. */
export type From = "mine" | "theirs" | "first";

type Listener = (state: State, from: From) => void;

const listeners = new Set<Listener>();
let now: State | null = null;
let asking: Promise<void> | null = null;

export function api(path: string): string {
  return `/api/p/${encodeURIComponent(project())}/${path}`;
}

export function current(): State | null {
  return now;
}

/** Calls back on each state, at once with the present one if there is one. */
export function follow(call: Listener): void {
  listeners.add(call);
  if (now) call(now, "first");
}

let asked = 0;
let latest = 0;

/** Drawn before each request that brings a state, so that answers that overtake each other are told apart. */
export function ticket(): number {
  return ++asked;
}

/** Takes in a state, unless one that was asked for later is known already. */
export function take(state: State, from: From, drawn: number): void {
  if (drawn < latest) return;
  latest = drawn;
  const is_new = !now || state.number !== now.number || state.digest !== now.digest;
  now = state;
  if (is_new || from === "mine") for (const call of listeners) call(state, from);
}

/** Asks the server for the state; several asked at once are one. */
export function refresh(from: From = "theirs"): Promise<void> {
  const drawn = ticket();
  asking ??= ask<State>(api("state"))
    .then(({ status, body }) => {
      heard();
      if (status === 200) take(body, from, drawn);
    })
    .catch((error: unknown) => {
      if (!(error instanceof NoAnswer)) throw error;
      lost();
    })
    .finally(() => {
      asking = null;
    });
  return asking;
}

/** Looks first, then follows what is told. */
export function start(): void {
  void refresh("first");
  whenBack(() => void refresh());
  listen((told, mine) => {
    if (told.kind === "state" && !mine && told.number !== now?.number) void refresh();
  });
}
