// The product in 3-D. Everything else on the page works without it.
import { Color, Plane, Raycaster, Vector2, Vector3 } from "three";
import { heard, lost, whenBack } from "../connection";
import { keep, kept, make, project } from "../page";
import { api, current, follow } from "../state";
import { NoAnswer, fetched, isOurs, whole } from "../talk";
import { word } from "../words";
import { Model, read, type Paints } from "./model";
import { Stage, type View } from "./stage";
import { toolbar, type Tools } from "./tools";

/** Colours of assemblies, as names of the page's own colours with what they are without a style sheet. */
const PALETTE = ["#3d5a73", "#b07a2a", "#6b7f45", "#9a4f3f", "#5b6d8c", "#7d5a86", "#4d7f7a", "#8a7a5a"];
const STILL = matchMedia("(prefers-reduced-motion: reduce)");
const MOVE_MS = 260;

export interface Section {
  axis: "x" | "y" | "z";
  at: number;
}

export class Viewer {
  model: Model | null = null;
  readonly positions = new Map<string, string>();
  private readonly stage: Stage;
  private tools: Tools | null = null;
  private section: Section | null = null;
  private far = 0;
  private hidden = new Set<string>(JSON.parse(kept(`${project()}:hidden`) ?? "[]") as string[]);
  private chosen: { part: string; copy: number } | null = null;
  private asking: AbortController | null = null;
  private number = -1;
  private shown = "";
  private wanted = "";

  /** Throws where the browser has no WebGL. */
  constructor(
    private readonly host: HTMLElement,
    private readonly first: { number: number; bytes: Promise<ArrayBuffer | null> },
  ) {
    const area = make("div", { class: "canvas" });
    this.stage = new Stage(area);
    const canvas = this.stage.canvas;
    canvas.tabIndex = 0;
    canvas.setAttribute("role", "application");
    canvas.setAttribute("aria-label", word("canvas"));
    canvas.setAttribute("aria-describedby", "viewer-keys");
    area.append(canvas, make("p", { id: "viewer-keys", class: "keys" }, word("canvas_keys")));
    this.tools = toolbar(this);
    area.append(this.tools.said);
    host.replaceChildren(this.tools.element, area);
    host.setAttribute("data-live", "");
    this.stage.resize();
    this.listen(area);
    void this.load(first.number);
    follow((state) => void this.load(state.number));
    whenBack(() => void this.load(this.number));
  }

  // -------------------------------------------------------------- loading
  /** Fetches the scene of a state; an older fetch still under way is given up. */
  private async load(number: number): Promise<void> {
    this.number = number;
    const wanted = `${number} ${this.moved()}`;
    if (wanted === this.shown || wanted === this.wanted) return;
    this.asking?.abort();
    const asking = (this.asking = new AbortController());
    this.wanted = wanted;
    try {
      const bytes = await this.bytes(number, asking.signal);
      if (asking.signal.aborted) return;
      if (!bytes) return this.nothing();
      const model = await read(bytes);
      if (asking.signal.aborted) return model.dispose();
      this.shown = wanted;
      this.replace(model, number);
    } catch (error) {
      if (isOurs(error)) return;
      if (!(error instanceof NoAnswer)) throw error;
      lost();
    } finally {
      if (this.asking === asking) this.wanted = "";
    }
  }

  /** The scene as the server sends it; null where the files do not work out. */
  private async bytes(number: number, signal: AbortSignal): Promise<ArrayBuffer | null> {
    const early = number === this.first.number && this.shown === "" && this.moved() === "" ? await this.first.bytes : null;
    if (early) return early;
    const answer = await fetched(api(`scene.glb?number=${number}${this.moved()}`), { signal, cache: "default" });
    const bytes = await whole(answer.arrayBuffer(), signal);
    heard();
    return answer.ok ? bytes : null;
  }

  /** The positions asked for, as the server reads them. */
  private moved(): string {
    return [...this.positions].map(([assembly, position]) => `&position=${encodeURIComponent(`${assembly}:${position}`)}`).join("");
  }

  /** The files do not work out just now: the product as it was stays, and is marked so. */
  private nothing(): void {
    this.host.setAttribute("data-old", "");
    this.tools?.note(word("scene_old"));
  }

  private replace(model: Model, number: number): void {
    const old = this.model;
    this.model = model;
    this.host.removeAttribute("data-old");
    this.tools?.note("");
    this.stage.scene.add(model.root);
    this.stage.holds(model.room(this.far));
    this.tools?.fill(model, current());
    if (this.chosen && !model.of(this.chosen.part, this.chosen.copy)) this.choose(null);
    this.dress();
    const done = () => {
      this.host.setAttribute("data-drawn", String(number));
      this.host.dispatchEvent(new Event("drawn"));
    };
    if (!old) return this.stage.ask(done);
    const along = model.comesFrom(old);
    old.dispose();
    this.move(along, done);
  }

  /** Lets pieces go from where they were to where they belong. */
  private move(along: (t: number) => void, done: () => void): void {
    const begun = performance.now();
    const frame = () => {
      const t = STILL.matches ? 1 : Math.min(1, (performance.now() - begun) / MOVE_MS);
      along(t * t * (3 - 2 * t));
      this.model?.pull(this.far);
      this.stage.ask(t < 1 ? frame : done);
    };
    frame();
  }

  // -------------------------------------------------------------- what the tools ask for
  look(view: View): void {
    this.stage.look(view);
  }

  setPosition(assembly: string, position: string): void {
    if (position) this.positions.set(assembly, position);
    else this.positions.delete(assembly);
    void this.load(this.number);
  }

  pull(far: number): void {
    this.far = far;
    if (!this.model) return;
    this.model.pull(far);
    this.stage.holds(this.model.room(far));
    this.stage.fit();
  }

  hide(assembly: string, hidden: boolean): void {
    if (hidden) this.hidden.add(assembly);
    else this.hidden.delete(assembly);
    keep(`${project()}:hidden`, JSON.stringify([...this.hidden]));
    this.model?.hide(this.hidden);
    this.stage.ask();
  }

  isHidden(assembly: string): boolean {
    return this.hidden.has(assembly);
  }

  cut(section: Section | null): void {
    this.section = section;
    this.dress();
  }

  /** Chooses a piece: it is coloured, and whoever listens shows what is known of its part. */
  choose(piece: { part: string; copy: number } | null): void {
    this.chosen = piece;
    this.tools?.chosen(piece?.part ?? "");
    this.dress();
    this.host.dispatchEvent(new CustomEvent("part", { detail: piece }));
  }

  colourOf(assembly: string): Color {
    const k = Math.max(0, this.model?.assemblies.indexOf(assembly) ?? 0) % PALETTE.length;
    return this.stage.colour(`--assembly-${k + 1}`, PALETTE[k] ?? "#3d5a73");
  }

  private dress(): void {
    const paints: Paints = {
      assembly: (name) => this.colourOf(name),
      tyre: this.stage.colour("--tyre", "#2b2d2f"),
      rim: this.stage.colour("--rim", "#9aa0a3"),
      cut: this.stage.colour("--cut", "#c8452c"),
      chosen: this.stage.colour("--chosen", "#f0a020"),
    };
    this.model?.paint(paints, this.plane(), this.chosen);
    this.model?.hide(this.hidden);
    this.model?.pull(this.far);
    this.stage.ask();
  }

  /** The half that is kept lies away from where one looks from. */
  private plane(): Plane | null {
    if (!this.section || !this.model) return null;
    const { axis, at } = this.section;
    const { min, max } = this.model.box;
    const place = min[axis] + (max[axis] - min[axis]) * at;
    const way = this.stage.camera.position[axis] >= place ? -1 : 1;
    const normal = new Vector3(axis === "x" ? way : 0, axis === "y" ? way : 0, axis === "z" ? way : 0);
    return new Plane(normal, -way * place);
  }

  // -------------------------------------------------------------- pointer and keys
  private listen(area: HTMLElement): void {
    const canvas = this.stage.canvas;
    let down = { x: 0, y: 0 };
    canvas.addEventListener("pointerdown", (event) => {
      down = { x: event.clientX, y: event.clientY };
    });
    canvas.addEventListener("pointerup", (event) => {
      if (event.button !== 0 || Math.hypot(event.clientX - down.x, event.clientY - down.y) > 5) return;
      this.choose(this.at(event.clientX, event.clientY));
    });
    canvas.addEventListener("dblclick", () => this.look("corner"));
    canvas.addEventListener("keydown", (event) => {
      if (this.key(event)) event.preventDefault();
    });
    canvas.addEventListener("webglcontextlost", (event) => {
      event.preventDefault();
      this.tools?.note(word("scene_lost"));
    });
    canvas.addEventListener("webglcontextrestored", () => this.tools?.note(""));
    area.addEventListener("dress", () => this.dress());
  }

  private at(x: number, y: number): { part: string; copy: number } | null {
    const box = this.stage.canvas.getBoundingClientRect();
    const spot = new Vector2((2 * (x - box.left)) / box.width - 1, 1 - (2 * (y - box.top)) / box.height);
    const ray = new Raycaster();
    ray.setFromCamera(spot, this.stage.camera);
    const plane = this.plane();
    if (!this.model) return null;
    for (const hit of ray.intersectObject(this.model.root, true)) {
      const piece = this.model.owner(hit.object);
      if (!piece || !piece.node.visible || (plane && plane.distanceToPoint(hit.point) < 0)) continue;
      return { part: piece.part, copy: piece.copy };
    }
    return null;
  }

  private key(event: KeyboardEvent): boolean {
    if (event.ctrlKey || event.metaKey || event.altKey) return false;
    const step = event.shiftKey ? 0.05 : 0.12;
    const arrows: Record<string, [number, number]> = {
      ArrowLeft: [-1, 0],
      ArrowRight: [1, 0],
      ArrowUp: [0, 1],
      ArrowDown: [0, -1],
    };
    const arrow = arrows[event.key];
    const views: Record<string, View> = { "0": "corner", Home: "corner", "1": "front", "2": "side", "3": "top" };
    const view = views[event.key];
    if (arrow && event.shiftKey) this.stage.shift(arrow[0] * step, arrow[1] * step);
    else if (arrow) this.stage.turn(arrow[0] * step, arrow[1] * step);
    else if (view) this.look(view);
    else if (event.key === "+" || event.key === "=") this.stage.zoom(1.2);
    else if (event.key === "-") this.stage.zoom(1 / 1.2);
    else if (event.key === "n" || event.key === "p") this.walk(event.key === "n" ? 1 : -1);
    else if (event.key === "Escape" && this.chosen) this.choose(null);
    else return false;
    return true;
  }

  /** Chooses the next part on the list, or the one before. */
  private walk(way: 1 | -1): void {
    const parts = [...new Set(this.model?.pieces.map((piece) => piece.part))];
    const here = parts.indexOf(this.chosen?.part ?? "");
    const part = parts[(here + (here < 0 && way < 0 ? 0 : way) + parts.length) % parts.length];
    if (part) this.choose({ part, copy: 1 });
  }

  /** Where the middle of a piece is seen, in pixels of the window. */
  whereOnScreen(part: string, copy = 1): { x: number; y: number } | null {
    const piece = this.model?.of(part, copy);
    const vertex = piece ? firstVertex(piece.node) : null;
    if (!vertex) return null;
    vertex.project(this.stage.camera);
    const box = this.stage.canvas.getBoundingClientRect();
    return { x: box.left + ((vertex.x + 1) / 2) * box.width, y: box.top + ((1 - vertex.y) / 2) * box.height };
  }
}

function firstVertex(node: import("three").Object3D): Vector3 | null {
  let found: Vector3 | null = null;
  node.traverse((one) => {
    const mesh = one as import("three").Mesh;
    const points = mesh.isMesh ? mesh.geometry.getAttribute("position") : null;
    if (points && !found) found = new Vector3().fromBufferAttribute(points, 0).applyMatrix4(mesh.matrixWorld);
  });
  return found;
}
