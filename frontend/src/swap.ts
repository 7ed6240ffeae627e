// Parts of the page that only the server can word are fetched anew and put in place of the old ones.
import { lost } from "./connection";
import { NoAnswer, fetched, isOurs, whole } from "./talk";

let asking: AbortController | null = null;

/** Puts every element with `data-swap` and an id anew, as the page is now. Fields being typed in are never in one. */
export async function refreshPage(): Promise<void> {
  const old = [...document.querySelectorAll<HTMLElement>("[data-swap][id]")];
  if (old.length === 0) return;
  asking?.abort();
  const ours = (asking = new AbortController());
  try {
    const answer = await fetched(location.href, { signal: ours.signal, headers: { Accept: "text/html" } });
    const text = await whole(answer.text(), ours.signal);
    const page = new DOMParser().parseFromString(text, "text/html");
    for (const element of old) swap(element, page.getElementById(element.id));
  } catch (error) {
    if (isOurs(error)) return;
    if (!(error instanceof NoAnswer)) throw error;
    lost();
  }
}

function swap(old: HTMLElement, fresh: HTMLElement | null): void {
  if (!fresh || old.outerHTML === fresh.outerHTML) return;
  const active = document.activeElement;
  const focused = active instanceof HTMLElement && old.contains(active) ? place(old, active) : null;
  const made = document.importNode(fresh, true);
  old.replaceWith(made);
  if (focused) (made.querySelector(focused) as HTMLElement | null)?.focus();
}

/** How to find the same element again. */
function place(within: HTMLElement, element: HTMLElement): string {
  if (element.id) return `#${CSS.escape(element.id)}`;
  const href = element.getAttribute("href");
  if (href) return `${element.tagName}[href="${CSS.escape(href)}"]`;
  const all = [...within.querySelectorAll(element.tagName)];
  return `${element.tagName}:nth-of-type(${all.indexOf(element) + 1})`;
}
