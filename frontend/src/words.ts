// Words for people, written into the page by the server in the page's language.

let words: Record<string, string> | null = null;

/** Says a message by its name, with values in its `{named}` places. An unknown name is said as it is. */
export function word(name: string, values: Record<string, string | number> = {}): string {
  words ??= read();
  const message = words[name] ?? name;
  return message.replace(/\{(\w+)\}/g, (whole, place: string) => String(values[place] ?? whole));
}

function read(): Record<string, string> {
  const text = document.querySelector<HTMLElement>("[data-words]")?.dataset["words"];
  if (!text) return {};
  try {
    return JSON.parse(text) as Record<string, string>;
  } catch {
    return {};
  }
}
