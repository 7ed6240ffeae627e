// Sending one thing after the other. In a gap of the network all waits; then it goes on where it was.
import { heard, lost, wait, whenBack } from "./connection";
import { NoAnswer } from "./talk";

export class Queue {
  private sending: Promise<void> | null = null;
  private tries = 0;
  private timer = 0;

  /** `one` sends what is next; it says whether there may be more. */
  constructor(private readonly one: () => Promise<boolean>) {
    whenBack(() => void this.send());
  }

  send(): Promise<void> {
    this.sending ??= this.all().finally(() => {
      this.sending = null;
    });
    return this.sending;
  }

  /** Sends after a rest [ms]; what was asked for before and did not begin is given up. */
  later(rest: number): void {
    clearTimeout(this.timer);
    this.timer = window.setTimeout(() => void this.send(), rest);
  }

  private async all(): Promise<void> {
    clearTimeout(this.timer);
    try {
      while (await this.one()) {
        this.tries = 0;
        heard();
      }
    } catch (error) {
      if (!(error instanceof NoAnswer)) throw error;
      lost();
      this.later(wait(this.tries++));
    }
  }
}
