// Talking with the server: JSON there and back. A gap in the network is no error: it is said apart.
import { formKey } from "./page";

/** No answer came: the network is away, the server is, or it took too long. Trying again is right. */
export class NoAnswer extends Error {}

export interface Answer<T> {
  status: number;
  body: T;
}

export interface Finding {
  code: string;
  where?: string;
  wrong: string;
  expected: string;
  fix: string;
  severity?: string;
}

/** Longest wait for an answer before the network counts as away [ms]. */
const PATIENCE = 10_000;

export async function ask<T>(path: string, patience = PATIENCE): Promise<Answer<T>> {
  return talk<T>(path, {}, patience);
}

export async function tell<T>(path: string, body: unknown): Promise<Answer<T>> {
  const headers = { "Content-Type": "application/json", "X-Handbarrow-Token": formKey() };
  return talk<T>(path, { method: "POST", headers, body: JSON.stringify(body) });
}

async function talk<T>(path: string, request: RequestInit, patience = PATIENCE): Promise<Answer<T>> {
  const headers = { Accept: "application/json", ...request.headers };
  const response = await fetched(path, { ...request, headers }, patience);
  const text = await whole(response.text());
  return { status: response.status, body: parsed<T>(text, response.status) };
}

/** Fetches with patience; throws `NoAnswer` where the network gave none, `AbortError` where we gave up ourselves. */
export async function fetched(path: string, request: RequestInit = {}, patience = PATIENCE): Promise<Response> {
  const limit = AbortSignal.timeout(patience);
  const signal = request.signal ? AbortSignal.any([request.signal, limit]) : limit;
  const response = await whole(fetch(path, { cache: "no-store", ...request, signal }), request.signal);
  // A proxy or a server that is just starting up speaks for nobody.
  if (response.status === 502 || response.status === 503 || response.status === 504) throw new NoAnswer();
  return response;
}

/** Waits for something of the network. */
export async function whole<T>(waiting: Promise<T>, ours?: AbortSignal | null): Promise<T> {
  try {
    return await waiting;
  } catch (error) {
    if (ours?.aborted) throw new DOMException("given up", "AbortError");
    throw new NoAnswer(String(error));
  }
}

function parsed<T>(text: string, status: number): T {
  try {
    return JSON.parse(text) as T;
  } catch {
    throw new NoAnswer(`an answer (${status}) that is no JSON`);
  }
}

export function isOurs(error: unknown): boolean {
  return error instanceof DOMException && error.name === "AbortError";
}

export function pause(ms: number): Promise<void> {
  return new Promise((done) => setTimeout(done, ms));
}
