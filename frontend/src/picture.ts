// When the picture shows the newest state: the rest of the page waits for it, as the server has only so many hands.

/** The rest of the page waits no longer for the picture than this [ms]. */
const LATEST = 1500;

/** Comes when the picture was drawn next; at once where there is none. */
export function shown(): Promise<void> {
  const viewer = document.getElementById("viewer");
  return new Promise((done) => {
    viewer?.addEventListener("drawn", () => done(), { once: true });
    setTimeout(done, viewer?.hasAttribute("data-live") ? LATEST : 0);
  });
}
