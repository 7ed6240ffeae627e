// A finding as one paragraph: what is wrong, what was expected, how to mend it.
import { make } from "./page";
import type { Finding } from "./talk";
import { word } from "./words";

export function sentence({ code, wrong, expected, fix }: Finding): HTMLElement {
  return make("p", { class: "finding", "data-code": code }, word("finding", { wrong, expected, fix }));
}
