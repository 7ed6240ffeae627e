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
let asking = false;
let again = false;

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

/** Takes in a state, unless a later one is known already: answers may overtake each other. */
export function take(state: State, from: From): void {
  if (now && state.number < now.number) return;
  const is_new = !now || state.number !== now.number || state.digest !== now.digest;
  now = state;
  if (is_new || from === "mine") for (const call of listeners) call(state, from);
}

/** Asks the server for the state. What is asked while an answer is on its way is asked once more after it. */
export async function refresh(from: From = "theirs"): Promise<void> {
  if (asking) {
    again = true;
    return;
  }
  asking = true;
  try {
    do {
      again = false;
      const { status, body } = await ask<State>(api("state"));
      heard();
      if (status === 200) take(body, from);
    } while (again);
  } catch (error) {
    if (!(error instanceof NoAnswer)) throw error;
    lost();
  } finally {
    asking = false;
  }
}

/** Looks first, then follows what is told. */
export function start(): void {
  void refresh("first");
  whenBack(() => void refresh());
  listen((told, mine) => {
    if (told.kind === "state" && !mine && told.number !== now?.number) void refresh();
  });
}
