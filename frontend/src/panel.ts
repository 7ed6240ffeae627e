// The panel of the part that was chosen in the picture: the same as on its own page, fetched from there.
import { lost } from "./connection";
import { make } from "./page";
import { NoAnswer, fetched, isOurs, whole } from "./talk";
import { word } from "./words";

let asking: AbortController | null = null;

/** Shows the panel of a part; an empty name closes it. */
export async function showPart(panel: HTMLElement, part: string): Promise<void> {
  asking?.abort();
  if (!part) {
    panel.hidden = true;
    return;
  }
  const ours = (asking = new AbortController());
  const page = partPage(part);
  try {
    const answer = await fetched(page, { signal: ours.signal, headers: { Accept: "text/html" } });
    const text = await whole(answer.text(), ours.signal);
    const fetchedPage = new DOMParser().parseFromString(text, "text/html");
    const card = fetchedPage.querySelector("[data-part-card]") ?? fetchedPage.querySelector("main");
    panel.replaceChildren(close(panel), ...(card ? [...document.importNode(card, true).childNodes] : []));
    panel.append(make("p", {}, make("a", { href: page }, word("part_page"))));
    panel.dataset["part"] = part;
    panel.hidden = false;
  } catch (error) {
    if (isOurs(error)) return;
    if (!(error instanceof NoAnswer)) throw error;
    panel.replaceChildren(close(panel), make("p", {}, word("gap_part")));
    panel.hidden = false;
    lost();
  }
}

function partPage(part: string): string {
  return `${location.pathname.replace(/\/$/, "")}/part/${encodeURIComponent(part)}`;
}

function close(panel: HTMLElement): HTMLElement {
  const button = make("button", { type: "button", class: "close" }, word("close"));
  button.addEventListener("click", () => {
    panel.hidden = true;
    panel.dispatchEvent(new Event("closed"));
  });
  return button;
}
