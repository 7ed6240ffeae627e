// The product in the scene: pieces by part and copy, their assemblies, their colours, cut open or pulled apart.
import {
  Box3,
  BackSide,
  type Color,
  FrontSide,
  Group,
  Material,
  Mesh,
  MeshBasicMaterial,
  MeshLambertMaterial,
  type Object3D,
  type Plane,
  Quaternion,
  Vector3,
} from "three";
import { GLTFLoader } from "three/addons/loaders/GLTFLoader.js";

export interface Piece {
  key: string;
  part: string;
  copy: number;
  assembly: string;
  number: number;
  title: string;
  node: Object3D;
  /** Where it belongs, and how far it goes when all is pulled apart. */
  home: Vector3;
  apart: Vector3;
}

export interface Paints {
  assembly: (name: string) => Color;
  tyre: Color;
  rim: Color;
  cut: Color;
  chosen: Color;
}

const loader = new GLTFLoader();

/** Reads a scene as the server sends it. */
export async function read(bytes: ArrayBuffer): Promise<Model> {
  const { scene } = await loader.parseAsync(bytes, "");
  return new Model(scene);
}

export class Model {
  readonly pieces: Piece[] = [];
  readonly assemblies: string[] = [];
  readonly box = new Box3();
  private readonly within = new Map<string, string>();
  private boxes: Box3[] = [];
  private made: Material[] = [];

  constructor(readonly root: Group) {
    root.updateMatrixWorld(true);
    root.traverse((node) => this.adopt(node));
    for (const piece of this.pieces) {
      root.attach(piece.node); // whatever moved its assembly now moves the piece itself
      piece.home.copy(piece.node.position);
    }
    this.box.setFromObject(root);
    this.spread();
  }

  private adopt(node: Object3D): void {
    const said = node.userData as Record<string, unknown>;
    if (typeof said["part"] !== "string") {
      if (typeof said["assembly"] === "string") {
        this.assemblies.push(said["assembly"]);
        const above: unknown = node.parent?.userData["assembly"];
        if (typeof above === "string") this.within.set(said["assembly"], above);
      }
      return;
    }
    const part = said["part"];
    const copy = Number(said["copy"] ?? 1);
    this.pieces.push({
      key: `${part} ${copy}`,
      part,
      copy,
      assembly: String(said["assembly"] ?? ""),
      number: Number(said["number"] ?? 0),
      title: String(said["title"] ?? part),
      node,
      home: node.position.clone(),
      apart: new Vector3(),
    });
  }

  /** The room that the pieces take when they are pulled apart. */
  room(far: number): Box3 {
    const out = this.box.clone();
    this.pieces.forEach((piece, k) => {
      const box = this.boxes[k];
      if (box && !box.isEmpty()) out.union(box.clone().translate(piece.apart.clone().multiplyScalar(far)));
    });
    return out;
  }

  /** How far each piece goes: its assembly away from the product's middle, itself away from its assembly's middle. */
  private spread(): void {
    const middle = this.box.getCenter(new Vector3());
    const groups = new Map<string, Box3>();
    const boxes = (this.boxes = this.pieces.map((piece) => new Box3().setFromObject(piece.node)));
    this.pieces.forEach((piece, k) => {
      const box = boxes[k];
      if (!box || box.isEmpty()) return;
      groups.set(piece.assembly, (groups.get(piece.assembly) ?? new Box3()).union(box));
    });
    this.pieces.forEach((piece, k) => {
      const box = boxes[k];
      const group = groups.get(piece.assembly)?.getCenter(new Vector3());
      if (!box || !group || box.isEmpty()) return;
      const own = box.getCenter(new Vector3()).sub(group).multiplyScalar(0.6);
      const away = group.sub(middle).multiply(new Vector3(0.8, 1.6, 0.8)).add(own);
      piece.apart.copy(away);
    });
  }

  /** The assembly and all that it is carried by. */
  private carriers(assembly: string): string[] {
    const all: string[] = [];
    for (let name: string | undefined = assembly; name && !all.includes(name); name = this.within.get(name)) all.push(name);
    return all;
  }

  // -------------------------------------------------------------- looks
  paint(paints: Paints, plane: Plane | null, chosen: { part: string; copy: number } | null): void {
    for (const material of this.made) material.dispose();
    this.made = [];
    const paint = new Map<string, Material>();
    const once = (key: string, make: () => Material): Material => {
      let material = paint.get(key);
      if (!material) {
        paint.set(key, (material = make()));
        this.made.push(material);
      }
      return material;
    };
    const planes = plane ? [plane] : [];
    const inside = once("cut", () => new MeshBasicMaterial({ color: paints.cut, side: BackSide, clippingPlanes: planes }));
    for (const piece of this.pieces) {
      const is_chosen = chosen?.part === piece.part;
      for (const mesh of skins(piece.node)) {
        const name = String(mesh.userData["matter"] ?? "");
        const colour = name === "tyre" ? paints.tyre : name.startsWith("rim") ? paints.rim : paints.assembly(piece.assembly);
        const glow = is_chosen ? (chosen.copy === piece.copy ? 0.95 : 0.5) : 0;
        mesh.material = once(`${colour.getHexString()} ${glow}`, () => {
          const shade = colour.clone().lerp(paints.chosen, glow);
          return new MeshLambertMaterial({ color: shade, side: FrontSide, clippingPlanes: planes });
        });
        open(mesh, planes.length > 0 ? inside : null);
      }
    }
  }

  /** Shows an assembly, or hides it with all that it carries. */
  hide(names: Set<string>): void {
    for (const piece of this.pieces) piece.node.visible = !this.carriers(piece.assembly).some((name) => names.has(name));
  }

  /** Pulls the pieces apart: 0 as built, 1 far. */
  pull(far: number): void {
    for (const piece of this.pieces) piece.node.position.copy(piece.home).addScaledVector(piece.apart, far);
  }

  /** Starts where the pieces of another model stand; the function brings them home, 0 to 1. */
  comesFrom(old: Model): (along: number) => void {
    const before = new Map(old.pieces.map((piece) => [piece.key, piece]));
    const ways = this.pieces.flatMap((piece) => {
      const was = before.get(piece.key);
      if (!was) return [];
      const turn = piece.node.quaternion.clone();
      const same = was.home.distanceTo(piece.home) < 1e-6 && was.node.quaternion.angleTo(turn) < 1e-6;
      return same ? [] : [{ piece, from: was.home.clone(), turned: was.node.quaternion.clone(), turn, to: piece.home.clone() }];
    });
    return (along) => {
      for (const way of ways) {
        way.piece.home.lerpVectors(way.from, way.to, along);
        way.piece.node.quaternion.copy(new Quaternion().slerpQuaternions(way.turned, way.turn, along));
      }
    };
  }

  of(part: string, copy?: number): Piece | undefined {
    return this.pieces.find((piece) => piece.part === part && (copy === undefined || piece.copy === copy));
  }

  /** The piece that a hit skin belongs to. */
  owner(hit: Object3D | null): Piece | undefined {
    for (let node = hit; node; node = node.parent) {
      const piece = this.pieces.find((one) => one.node === node);
      if (piece) return piece;
    }
    return undefined;
  }

  dispose(): void {
    for (const material of this.made) material.dispose();
    this.root.traverse((node) => node instanceof Mesh && node.geometry.dispose());
    this.root.removeFromParent();
  }
}

function skins(node: Object3D): Mesh[] {
  const out: Mesh[] = [];
  node.traverse((one) => {
    if (!(one instanceof Mesh) || one.userData["inside"]) return;
    one.userData["matter"] ??= one.material instanceof Material ? one.material.name : "";
    out.push(one);
  });
  return out;
}

/** Where a skin is cut open its inner side is painted flat: as every skin is closed, that looks like the cut steel. */
function open(mesh: Mesh, inside: Material | null): void {
  const lining = mesh.children.find((child) => child.userData["inside"]);
  if (!inside) {
    lining?.removeFromParent();
  } else if (lining instanceof Mesh) {
    lining.material = inside;
  } else {
    const made = new Mesh(mesh.geometry, inside);
    made.userData["inside"] = true;
    mesh.add(made);
  }
}
