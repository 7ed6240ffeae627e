// The tools over the picture: views, section, pulling apart, assemblies, positions, the list of parts.
import { make } from "../page";
import type { State } from "../state";
import { word } from "../words";
import type { Section, Viewer } from "./index";
import type { Model } from "./model";
import type { View } from "./stage";

export interface Tools {
  element: HTMLElement;
  said: HTMLElement;
  fill(model: Model, state: State | null): void;
  chosen(part: string): void;
  note(text: string): void;
}

const VIEWS: View[] = ["corner", "front", "side", "top"];
const CUTS: [string, Section["axis"] | ""][] = [
  ["cut_none", ""],
  ["cut_across", "z"],
  ["cut_along", "x"],
  ["cut_level", "y"],
];

export function toolbar(viewer: Viewer): Tools {
  const parts = make("select", { id: "viewer-part" });
  parts.addEventListener("change", () => viewer.choose(parts.value ? { part: parts.value, copy: 1 } : null));
  const moving = make("div", { class: "positions" });
  const assemblies = make("fieldset", { class: "assemblies" });
  const note = make("p", { class: "note", role: "status" });
  const folded = make("div", { class: "folded", id: "viewer-more", hidden: true });
  folded.append(section(viewer), apart(viewer), moving, assemblies);
  const row = make("div", { class: "tool-row" }, views(viewer), labelled(word("part"), parts), more(folded));
  const element = make("div", { class: "tools" }, row, folded);
  return {
    element,
    said: note,
    fill: (model, state) => {
      fillParts(parts, model);
      fillAssemblies(assemblies, model, viewer);
      fillPositions(moving, state, viewer);
    },
    chosen: (part) => {
      parts.value = part;
    },
    note: (text) => {
      note.textContent = text;
    },
  };
}

/** The button that opens and closes what is needed less often. */
function more(folded: HTMLElement): HTMLElement {
  const button = make("button", { type: "button", class: "more", "aria-controls": folded.id, "aria-expanded": "false" });
  button.textContent = word("more");
  button.addEventListener("click", () => {
    folded.hidden = !folded.hidden;
    button.setAttribute("aria-expanded", String(!folded.hidden));
  });
  folded.addEventListener("keydown", (event) => {
    if (event.key !== "Escape") return;
    button.click();
    button.focus();
  });
  return button;
}

function labelled(text: string, control: HTMLElement): HTMLElement {
  return make("label", { class: "tool" }, make("span", {}, text), control);
}

function views(viewer: Viewer): HTMLElement {
  const buttons = VIEWS.map((view) => {
    const button = make("button", { type: "button", "data-view": view }, word(`view_${view}`));
    button.addEventListener("click", () => viewer.look(view));
    return button;
  });
  return make("div", { class: "views", role: "group", "aria-label": word("views") }, ...buttons);
}

function section(viewer: Viewer): HTMLElement {
  const where = make("select", { id: "viewer-cut" });
  for (const [name, axis] of CUTS) where.append(make("option", { value: axis }, word(name)));
  const at = make("input", { type: "range", min: "0", max: "1", step: "0.005", "aria-label": word("cut_at"), hidden: true });
  at.value = "0.5";
  const cut = () => {
    at.hidden = where.value === "";
    viewer.cut(where.value === "" ? null : { axis: where.value as Section["axis"], at: Number(at.value) });
  };
  where.addEventListener("change", cut);
  at.addEventListener("input", cut);
  return make("div", {}, labelled(word("section"), where), at);
}

function apart(viewer: Viewer): HTMLElement {
  const far = make("input", { type: "range", min: "0", max: "1", step: "0.01", id: "viewer-apart" });
  far.value = "0";
  far.addEventListener("input", () => viewer.pull(Number(far.value)));
  const out = labelled(word("apart"), far);
  out.classList.add("apart");
  return out;
}

/** A choice for each assembly that moves. */
function fillPositions(box: HTMLElement, state: State | null, viewer: Viewer): void {
  const movable = (state?.assemblies ?? []).filter((assembly) => assembly.positions.length > 0);
  const names = JSON.stringify(movable.map((assembly) => [assembly.name, ...assembly.positions.map((one) => one.name)]));
  if (box.dataset["names"] === names) return;
  box.dataset["names"] = names;
  box.replaceChildren(
    ...movable.map((assembly) => {
      const choice = make("select", { "data-moves": assembly.name });
      choice.append(make("option", { value: "" }, word("as_drawn")));
      for (const { name } of assembly.positions) choice.append(make("option", { value: name }, name));
      choice.value = viewer.positions.get(assembly.name) ?? "";
      choice.addEventListener("change", () => viewer.setPosition(assembly.name, choice.value));
      return labelled(word("position", { assembly: assembly.name }), choice);
    }),
  );
}

function fillParts(select: HTMLSelectElement, model: Model): void {
  const now = select.value;
  const seen = new Map(model.pieces.map((piece) => [piece.part, piece]));
  select.replaceChildren(make("option", { value: "" }, word("part_none")));
  for (const piece of seen.values())
    select.append(make("option", { value: piece.part }, `${piece.number} ${piece.title}`));
  select.value = seen.has(now) ? now : "";
}

function fillAssemblies(box: HTMLElement, model: Model, viewer: Viewer): void {
  const names = model.assemblies.join("\n");
  if (box.dataset["names"] === names) return;
  box.dataset["names"] = names;
  box.replaceChildren(
    make("legend", {}, word("assemblies")),
    ...model.assemblies.map((name) => {
      const tick = make("input", { type: "checkbox" });
      tick.checked = !viewer.isHidden(name);
      tick.addEventListener("change", () => viewer.hide(name, !tick.checked));
      const chip = make("span", { class: "chip", "aria-hidden": "true" });
      chip.style.backgroundColor = `#${viewer.colourOf(name).getHexString()}`;
      return make("label", { class: "tick" }, tick, chip, name);
    }),
  );
}
