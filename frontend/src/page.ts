// What the server wrote into the page for the modules: which project, the words, the key of forms.

/** Makes an element with its attributes and what is in it. Texts become text nodes, never HTML. */
export function make<K extends keyof HTMLElementTagNameMap>(
  tag: K,
  attributes: Record<string, string | boolean> = {},
  ...inside: (Node | string)[]
): HTMLElementTagNameMap[K] {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === true) element.setAttribute(name, "");
    else if (value !== false) element.setAttribute(name, value);
  }
  element.append(...inside);
  return element;
}

/** The folder name of the project on this page; empty on a page that shows none. */
export function project(): string {
  return document.querySelector<HTMLElement>("[data-project]")?.dataset["project"] ?? "";
}

/** The key that a form must bring along, so that no other site can send it. */
export function formKey(): string {
  return (
    document.querySelector<HTMLMetaElement>('meta[name="token"]')?.content ??
    document.querySelector<HTMLInputElement>('input[name="token"]')?.value ??
    ""
  );
}

function language(): string {
  return document.documentElement.lang || "en";
}

/** A number as the page's language writes it. */
export function number(value: number, digits = 1): string {
  return new Intl.NumberFormat(language(), { maximumFractionDigits: digits }).format(value);
}

/** This tab's own name, so that it knows its own changes when they are told to everyone. It outlives a reload. */
export const client: string = tabName();

function tabName(): string {
  const known = kept("tab");
  if (known) return known;
  const numbers = crypto.getRandomValues(new Uint32Array(3)); // randomUUID is missing on plain http
  const name = Array.from(numbers, (n) => n.toString(36)).join("");
  keep("tab", name);
  return name;
}

// ---------------------------------------------------------------- kept in this tab, through a reload
/** Reads what was kept; null where nothing was, or where the browser keeps nothing. */
export function kept(name: string): string | null {
  try {
    return sessionStorage.getItem(`handbarrow:${name}`);
  } catch {
    return null;
  }
}

/** Keeps a text in this tab; null forgets it. */
export function keep(name: string, text: string | null): void {
  try {
    if (text === null) sessionStorage.removeItem(`handbarrow:${name}`);
    else sessionStorage.setItem(`handbarrow:${name}`, text);
  } catch {
    // Full or forbidden: what was typed still stands in the field.
  }
}
