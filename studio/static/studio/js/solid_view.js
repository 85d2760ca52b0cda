// A pot in the colour of wet clay on the paper of the page, drawn again only when something changes.
// The eye is far away and a little above, as in the still picture that this takes the place of.
import {
  BackSide,
  DirectionalLight,
  DoubleSide,
  Group,
  HemisphereLight,
  Matrix4,
  Mesh,
  MeshBasicMaterial,
  MeshLambertMaterial,
  OrthographicCamera,
  PlaneGeometry,
  Scene,
  WebGLRenderer,
} from "../vendor/three/three.module.min.js";
import { between, edge, ringAt, ringsOf, surface, swollen } from "./solid_mesh.js";
import { turnable } from "./solid_turning.js";

const INK = 0x241f1a;
const RADIANS = Math.PI / 180;
const MARGIN = 0.09; // of the larger side, round the pot
const OUTLINE_PX = 1.6;
const LINE_PX = 0.9;

const flat = { depthTest: false, depthWrite: false };
const behindInk = { polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1 };
const faint = { transparent: true, opacity: 0.5, depthWrite: false };
const clay = new MeshLambertMaterial({ color: 0x65564c, side: DoubleSide, ...behindInk });
const ink = new MeshBasicMaterial({ color: INK, side: DoubleSide });
const pencil = new MeshBasicMaterial({ color: INK, side: DoubleSide, ...faint });
const around = new MeshBasicMaterial({ color: INK, side: BackSide });
const shade = new MeshBasicMaterial({ color: 0xebe3d7, side: DoubleSide, ...flat });
const table = new MeshBasicMaterial({ color: 0x8a7f72, ...flat });

export class SolidView {
  constructor(figure) {
    this.figure = figure;
    this.stage = figure.querySelector("[data-solid-stage]");
    this.renderer = new WebGLRenderer({ antialias: true, alpha: true });
    this.renderer.setPixelRatio(Math.min(devicePixelRatio, 3));
    this.canvas = this.renderer.domElement;
    this.camera = new OrthographicCamera();
    this.camera.up.set(0, 0, 1);
    this.scene = new Scene();
    this.pot = new Group();
    this.shadow = new Group();
    this.fallen = new Group();
    // Flat on the table, to the right and a little to the back: the light comes from upper left.
    this.fallen.matrixAutoUpdate = false;
    this.fallen.matrix = new Matrix4().set(1, 0, 0.18, 0, 0, 1, 0.05, 0, 0, 0, 0, 0, 0, 0, 0, 1);
    this.fallen.add(this.shadow);
    const light = new DirectionalLight(0xfffdf8, 4.4);
    light.position.set(-3, -4, 4);
    this.line = new Mesh(new PlaneGeometry(1, 1), table);
    this.line.renderOrder = -1;
    this.scene.add(this.fallen, this.line, this.pot, light, new HemisphereLight(0xffffff, 0xa39a90, 2.35));
    this.way = { turn: Number(figure.dataset.turned), down: Number(figure.dataset.lookingDown) };
    turnable(this, () => this.draw());
    this.canvas.addEventListener("webglcontextlost", () => this.swap(false));
    new ResizeObserver(() => this.draw()).observe(this.stage);
  }

  show(shape) {
    this.shape = shape;
    this.rings = {};
    for (const name of Object.keys(shape.bands)) this.rings[name] = ringsOf(shape, name);
    this.rings.whole = [...(this.rings.foot ?? []), ...this.rings.outside];
    this.perMm = 0;
    this.swap(true);
    this.draw();
  }

  swap(works) {
    this.stage.querySelector("svg").toggleAttribute("hidden", works);
    if (works && !this.canvas.isConnected) this.stage.append(this.canvas);
    this.canvas.hidden = !works;
    for (const part of this.figure.querySelectorAll("[data-solid-only]")) part.hidden = !works;
  }

  draw() {
    cancelAnimationFrame(this.next);
    this.next = requestAnimationFrame(() => this.render());
  }

  render() {
    const { clientWidth: width, clientHeight: height } = this.stage;
    if (!width || !height || !this.shape) return;
    this.renderer.setSize(width, height, false);
    const perMm = this.frame(this.rings.whole, width, height);
    // Ink keeps its width on the screen, so it is drawn anew for another size.
    if (Math.abs(perMm / this.perMm - 1) > 0.1 || !this.perMm) this.build(perMm);
    this.pot.rotation.z = this.shadow.rotation.z = this.way.turn * RADIANS;
    this.renderer.render(this.scene, this.camera);
  }

  // Room for the pot however it is turned; pixels for a millimetre.
  frame(rings, width, height) {
    const down = this.way.down * RADIANS;
    const ends = rings.map((ring) => {
      const reach = Math.max(...ring.map(([x, y]) => Math.hypot(x, y)));
      const up = ring[0][2] * Math.cos(down);
      return [reach, up + reach * Math.sin(down), up - reach * Math.sin(down)];
    });
    const half = Math.max(...ends.map(([reach]) => reach));
    const top = Math.max(...ends.map(([, high]) => high));
    const bottom = Math.min(...ends.map(([, , low]) => low));
    const room = MARGIN * Math.max(2 * half, top - bottom);
    const perMm = Math.min(width / (2 * (half + room)), height / (top - bottom + 2 * room));
    const [wide, tall, middle] = [width / perMm / 2, height / perMm / 2, (top + bottom) / 2];
    Object.assign(this.camera, { left: -wide, right: wide, near: 1, far: 9000 });
    Object.assign(this.camera, { top: middle + tall, bottom: middle - tall });
    this.camera.position.set(0, -4000 * Math.cos(down), 4000 * Math.sin(down));
    this.camera.lookAt(0, 0, 0);
    this.camera.updateProjectionMatrix();
    // Seen from high above, the edge of a table would be a line for nothing.
    this.line.visible = this.way.down < 35;
    this.line.quaternion.copy(this.camera.quaternion);
    this.line.scale.set(2.2 * wide, OUTLINE_PX / perMm, 1);
    return perMm;
  }

  build(perMm) {
    this.perMm = perMm;
    for (const group of [this.pot, this.shadow]) {
      for (const part of group.children) part.geometry.dispose();
      group.clear();
    }
    const { corners, bands, lines, per_mm } = this.shape;
    const put = (geometry, material, group = this.pot) => group.add(new Mesh(geometry, material));
    const { outside, whole, rim = [] } = this.rings;
    for (const name of Object.keys(bands)) put(surface(this.rings[name], corners), clay);
    // From the middle of the base over the rim, so that the ink goes round below and above too.
    const middle = whole[0].map(() => [0, 0, whole[0][0][2]]);
    put(swollen(surface([middle, ...whole, ...rim.slice(1)]), OUTLINE_PX / perMm), around);
    put(surface(whole), shade, this.shadow).children.at(-1).renderOrder = -2;
    const half = LINE_PX / perMm / 2;
    for (const each of lines) {
      const height = each / per_mm;
      put(surface([ringAt(outside, height - half), ringAt(outside, height + half)]), pencil);
    }
    for (const corner of corners) put(edge(outside, corner, half), pencil);
    if (!rim.length) return;
    const wall = Math.hypot(rim[0][0][0] - rim[1][0][0], rim[0][0][1] - rim[1][0][1]);
    const share = Math.min((1.4 * LINE_PX) / perMm / wall, 0.25);
    put(surface([rim[0], between(...rim, share)]), ink);
    put(surface([between(...rim, 1 - share), rim[1]]), ink);
  }
}
