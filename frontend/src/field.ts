// One field whose text belongs to the server: what it has, what is typed here, and what became of that.
import { keep, kept, make, project } from "./page";

export class Field {
  readonly name: string;
  readonly row: HTMLElement;
  /** What the server has. */
  saved: string;
  /** Number of the state that the typing began from; null while nothing is typed. */
  base: number | null = null;
  /** A text that was refused is not sent again until it is another. */
  refused: string | null = null;
  /** What another made of it meanwhile: a question stands beside the field until it is answered. */
  theirs: string | null = null;
  timer = 0;
  private readonly said: HTMLElement;

  constructor(readonly input: HTMLInputElement) {
    this.row = input.closest<HTMLElement>("[data-size]") ?? input;
    this.name = this.row.dataset["size"] ?? input.name;
    this.saved = input.defaultValue;
    this.said = make("div", { class: "said", "aria-live": "polite", id: `said-${this.name}` });
    this.row.append(this.said);
    const described = input.getAttribute("aria-describedby");
    input.setAttribute("aria-describedby", described ? `${described} ${this.said.id}` : this.said.id);
    input.autocomplete = "off";
    input.value = this.saved; // some browsers bring back what stood there before a reload: we do that ourselves
  }

  /** Whether it has to be sent. */
  isDue(): boolean {
    return isTyped(this) && this.theirs === null && this.refused !== this.input.value;
  }

  typed(base: number | null): void {
    this.base ??= base;
    if (!isTyped(this)) this.base = null;
    this.say([]);
    this.remember();
  }

  /** The server took `text` and writes it as `saved`; more may have been typed since. */
  accepted(text: string, saved: string, number: number | null): void {
    if (this.input.value === text) this.input.value = saved;
    this.settle(saved, number);
  }

  /** Another text of the server's, where nothing is typed. */
  replace(saved: string): void {
    this.input.value = saved;
    this.settle(saved, null);
  }

  giveUp(): void {
    this.input.value = this.theirs ?? this.saved;
    this.settle(this.input.value, null);
  }

  settle(saved: string, number: number | null): void {
    this.saved = this.input.defaultValue = saved;
    this.base = isTyped(this) ? number : null;
    this.refused = null;
    this.theirs = null;
    this.say([]);
    this.remember();
  }

  say(inside: HTMLElement[]): void {
    this.said.replaceChildren(...inside);
    this.input.removeAttribute("aria-invalid");
    this.mark();
  }

  mark(): void {
    this.input.toggleAttribute("data-typed", isTyped(this));
  }

  // -------------------------------------------------------------- kept through a reload
  private get place(): string {
    return `${project()}:size:${this.name}`;
  }

  remember(): void {
    const { base, saved, theirs } = this;
    keep(this.place, isTyped(this) ? JSON.stringify({ text: this.input.value, base, saved, theirs }) : null);
  }

  /** Brings back what was typed before a reload. Returns whether there was anything. */
  recall(): boolean {
    const known = kept(this.place);
    if (known === null) return false;
    keep(this.place, null);
    try {
      const was = JSON.parse(known) as { text: string; base: number | null; saved: string; theirs: string | null };
      this.input.value = was.text;
      if (!isTyped(this)) return false;
      this.base = was.base;
      // What it was changed to meanwhile is asked about, never written over.
      if (was.theirs !== null || was.saved.trim() !== this.saved.trim()) this.theirs = this.saved;
      this.mark();
      this.remember();
      return true;
    } catch {
      this.input.value = this.saved;
      return false;
    }
  }
}

export function isTyped(field: Field): boolean {
  return field.input.value.trim() !== field.saved.trim();
}
