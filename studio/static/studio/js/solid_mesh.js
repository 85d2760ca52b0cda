// Rings of points, as the server sends them, as triangles for the screen. z is up; a band is smooth
// in itself, and has an edge at its ends and along the columns that are corners.
import { BufferAttribute, BufferGeometry } from "../vendor/three/three.module.min.js";

// The band of a shape with its places in millimetres: rings of [x, y, z].
export function ringsOf(shape, name) {
  const { z, xy } = shape.bands[name];
  const at = (ring, column) => 2 * (ring * shape.columns + column);
  return z.map((height, ring) =>
    Array.from({ length: shape.columns }, (_, column) => [
      xy[at(ring, column)] / shape.per_mm,
      xy[at(ring, column) + 1] / shape.per_mm,
      height / shape.per_mm,
    ]),
  );
}

// The surface over rings in order. `corners` are columns at which it breaks.
export function surface(rings, corners = []) {
  const columns = rings[0].length;
  const start = corners[0] ?? 0;
  const order = [];
  for (let step = 0; step <= columns; step++) {
    const column = (start + step) % columns;
    order.push({ column, joined: step > 0 });
    if (step > 0 && step < columns && corners.includes(column)) order.push({ column, joined: false });
  }
  // Without a corner the last column is the first one again, so that no seam is seen.
  const places = corners.length ? order.length : columns;
  const index = [];
  for (let ring = 0; ring + 1 < rings.length; ring++) {
    for (let place = 1; place < order.length; place++) {
      if (!order[place].joined) continue;
      const [low, lowAfter] = [place - 1, place].map((each) => ring * places + (each % places));
      index.push(low, lowAfter, lowAfter + places, low, lowAfter + places, low + places);
    }
  }
  const kept = order.slice(0, places);
  return geometry(rings.flatMap((ring) => kept.map(({ column }) => ring[column])), index);
}

// The same surface so many millimetres farther out.
export function swollen(made, by) {
  const { position, normal } = made.attributes;
  for (let at = 0; at < position.array.length; at++) position.array[at] += by * normal.array[at];
  return made;
}

// The ring at a height between those of a band that rises.
export function ringAt(rings, height) {
  let high = rings.findIndex((ring) => ring[0][2] >= height);
  if (high < 1) high = high < 0 ? rings.length - 1 : 1;
  const [low, top] = [rings[high - 1], rings[high]];
  const rise = top[0][2] - low[0][2];
  return between(low, top, rise > 0 ? (height - low[0][2]) / rise : 0);
}

export const between = (one, other, share) =>
  one.map((place, column) => mixed(place, other[column], share));

// A stripe of so many millimetres on both sides of a corner, from the first ring to the last.
export function edge(rings, corner, width) {
  const columns = rings[0].length;
  const sides = [(corner + columns - 1) % columns, (corner + 1) % columns];
  const places = rings.flatMap((ring) => {
    const [left, right] = sides.map((side) => {
      const apart = Math.hypot(...ring[side].map((value, axis) => value - ring[corner][axis]));
      return mixed(ring[corner], ring[side], Math.min(width / (apart || 1), 1));
    });
    return [left, ring[corner], right];
  });
  const index = [];
  for (let low = 0; low + 3 < places.length; low += 3) {
    for (const at of [low, low + 1]) index.push(at, at + 1, at + 4, at, at + 4, at + 3);
  }
  return geometry(places, index);
}

const mixed = (one, other, share) => one.map((value, axis) => value + share * (other[axis] - value));

function geometry(places, index) {
  const made = new BufferGeometry();
  made.setAttribute("position", new BufferAttribute(new Float32Array(places.flat()), 3));
  made.setIndex(index);
  made.computeVertexNormals();
  return made;
}
