// The stage: canvas, camera, light and ground. Draws only when asked to.
import {
  AmbientLight,
  Box3,
  BufferGeometry,
  Color,
  DirectionalLight,
  Float32BufferAttribute,
  LineBasicMaterial,
  LineSegments,
  MOUSE,
  OrthographicCamera,
  Scene,
  Sphere,
  TOUCH,
  Vector3,
  WebGLRenderer,
} from "three";
import { OrbitControls } from "three/addons/controls/OrbitControls.js";

export type View = "corner" | "front" | "side" | "top";

/** From where each view looks, in the axes of the scene: x to the left, y up, z ahead. */
const FROM: Record<View, [number, number, number]> = {
  corner: [-0.9, 0.55, 0.75],
  front: [0, 0, 1],
  side: [-1, 0, 0],
  top: [-1e-4, 1, 0],
};
const GRID = 0.5; // metres from line to line on the ground

export class Stage {
  readonly scene = new Scene();
  readonly camera = new OrthographicCamera();
  readonly controls: OrbitControls;
  readonly canvas: HTMLCanvasElement;
  private readonly renderer: WebGLRenderer;
  private readonly sun = new DirectionalLight(0xffffff, 2.2);
  private ground: LineSegments | null = null;
  private box = new Box3(new Vector3(-1, 0, -1), new Vector3(1, 1, 1));
  private asked = 0;
  private after: (() => void)[] = [];
  private half = 1;

  /** Throws where the browser has no WebGL. */
  constructor(private readonly host: HTMLElement) {
    this.renderer = new WebGLRenderer({ antialias: true, alpha: true, powerPreference: "low-power" });
    this.renderer.localClippingEnabled = true;
    this.renderer.setPixelRatio(Math.min(devicePixelRatio, 2));
    this.canvas = this.renderer.domElement;
    this.camera.up.set(0, 1, 0);
    this.scene.add(new AmbientLight(0xffffff, 1.1), this.sun, this.camera);
    this.controls = new OrbitControls(this.camera, this.canvas);
    this.controls.mouseButtons = { LEFT: MOUSE.ROTATE, MIDDLE: MOUSE.PAN, RIGHT: MOUSE.PAN };
    this.controls.touches = { ONE: TOUCH.ROTATE, TWO: TOUCH.DOLLY_PAN };
    this.controls.zoomToCursor = true;
    this.controls.minZoom = 0.3;
    this.controls.maxZoom = 60;
    this.controls.addEventListener("change", () => this.ask());
    this.canvas.addEventListener("webglcontextrestored", () => this.ask());
    new ResizeObserver(() => this.resize()).observe(host);
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => this.dress());
  }

  /** Asks for a frame; many asked for before it comes are one. */
  ask(then?: () => void): void {
    if (then) this.after.push(then);
    if (this.asked) return;
    this.asked = requestAnimationFrame(() => {
      this.asked = 0;
      this.sun.position.copy(this.camera.position).sub(this.controls.target).normalize();
      this.sun.position.add(new Vector3(0.35, 0.8, 0.1));
      this.renderer.render(this.scene, this.camera);
      const now = this.after;
      this.after = [];
      for (const call of now) call();
    });
  }

  resize(): void {
    const { clientWidth: width, clientHeight: height } = this.host;
    if (width === 0 || height === 0) return;
    this.renderer.setPixelRatio(Math.min(devicePixelRatio, 2));
    this.renderer.setSize(width, height, false);
    this.frame();
    this.ask();
  }

  /** Says how large the product is; the first time it is also shown whole. */
  holds(box: Box3): void {
    const first = this.ground === null;
    this.box = box.clone();
    this.lay();
    if (first) this.look("corner");
    else this.frame();
    this.ask();
  }

  /** Looks at the whole product from one side. */
  look(view: View): void {
    const sphere = this.box.getBoundingSphere(new Sphere());
    this.controls.target.copy(sphere.center);
    this.camera.position.copy(sphere.center).addScaledVector(new Vector3(...FROM[view]).normalize(), 4 * sphere.radius);
    this.camera.zoom = 1;
    this.camera.lookAt(sphere.center);
    this.half = this.reach();
    this.frame();
    this.controls.update();
    this.ask();
  }

  /** Takes in the whole product from where one looks now. */
  fit(): void {
    const middle = this.box.getCenter(new Vector3());
    this.camera.position.add(middle.clone().sub(this.controls.target));
    this.controls.target.copy(middle);
    this.controls.update();
    this.half = this.reach();
    this.frame();
    this.ask();
  }

  /** Turns round the product by angles [rad]. */
  turn(round: number, over: number): void {
    const arm = this.camera.position.clone().sub(this.controls.target);
    const level = Math.hypot(arm.x, arm.z);
    const round_now = Math.atan2(arm.x, arm.z) + round;
    const over_now = Math.min(1.5707, Math.max(-1.5707, Math.atan2(arm.y, level) + over));
    const length = arm.length();
    arm.set(Math.sin(round_now) * Math.cos(over_now), Math.sin(over_now), Math.cos(round_now) * Math.cos(over_now));
    this.camera.position.copy(this.controls.target).addScaledVector(arm, length);
    this.controls.update();
    this.ask();
  }

  /** Moves sideways and up by parts of what is seen. */
  shift(right: number, up: number): void {
    const size = (2 * this.half) / this.camera.zoom;
    const move = new Vector3().setFromMatrixColumn(this.camera.matrix, 0).multiplyScalar(right * size);
    move.add(new Vector3().setFromMatrixColumn(this.camera.matrix, 1).multiplyScalar(up * size));
    this.camera.position.add(move);
    this.controls.target.add(move);
    this.controls.update();
    this.ask();
  }

  zoom(times: number): void {
    this.camera.zoom = Math.min(this.controls.maxZoom, Math.max(this.controls.minZoom, this.camera.zoom * times));
    this.camera.updateProjectionMatrix();
    this.ask();
  }

  /** The page's own colours, so that the stage follows light and dark. */
  colour(name: string, otherwise: string): Color {
    return new Color(getComputedStyle(this.host).getPropertyValue(name).trim() || otherwise);
  }

  /** Called when the page goes from light to dark or back. */
  dress(): void {
    if (this.ground) this.lay();
    this.host.dispatchEvent(new Event("dress"));
    this.ask();
  }

  /** Half the height of what is seen at zoom 1, so that the product fits into the canvas from where it is looked at. */
  private reach(): number {
    const { clientWidth: width, clientHeight: height } = this.host;
    this.camera.updateMatrixWorld();
    const turned = this.camera.matrixWorld.clone().invert();
    let [x, y] = [0, 0];
    const { min, max } = this.box;
    const middle = this.box.getCenter(new Vector3()).applyMatrix4(turned);
    for (let k = 0; k < 8; k++) {
      const corner = new Vector3(k & 1 ? max.x : min.x, k & 2 ? max.y : min.y, k & 4 ? max.z : min.z);
      corner.applyMatrix4(turned).sub(middle);
      x = Math.max(x, Math.abs(corner.x));
      y = Math.max(y, Math.abs(corner.y));
    }
    return 1.08 * Math.max(y, x * (height / Math.max(width, 1)), 0.05);
  }

  private frame(): void {
    const { clientWidth: width, clientHeight: height } = this.host;
    const wide = this.half * (width / Math.max(height, 1));
    const deep = this.box.getBoundingSphere(new Sphere()).radius * 12;
    Object.assign(this.camera, { left: -wide, right: wide, top: this.half, bottom: -this.half, near: -deep, far: deep });
    this.camera.updateProjectionMatrix();
  }

  /** Lines on the ground, half a metre apart. */
  private lay(): void {
    this.ground?.geometry.dispose();
    this.ground?.removeFromParent();
    const { min, max } = this.box;
    const edge = (value: number, way: 1 | -1) => (Math.ceil((way * value) / GRID) + 1) * GRID * way;
    const [west, east, south, north] = [edge(min.x, -1), edge(max.x, 1), edge(min.z, -1), edge(max.z, 1)];
    const points: number[] = [];
    for (let x = west; x <= east + 1e-6; x += GRID) points.push(x, 0, south, x, 0, north);
    for (let z = south; z <= north + 1e-6; z += GRID) points.push(west, 0, z, east, 0, z);
    const lines = new BufferGeometry().setAttribute("position", new Float32BufferAttribute(points, 3));
    const paint = new LineBasicMaterial({ color: this.colour("--line", "#c9c5bb"), transparent: true, opacity: 0.55 });
    this.ground = new LineSegments(lines, paint);
    this.scene.add(this.ground);
  }
}
