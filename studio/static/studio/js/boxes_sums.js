// Sums on boxes [x, y, width, height] in whole pixels of a picture [width, height].
const LEAST = 0.02; // of the picture's longer side, as the server has it

const leastOf = (picture) => Math.max(1, Math.ceil(LEAST * Math.max(...picture)));
const held = (value, low, high) => Math.min(Math.max(value, low), high);

export function moved([x, y, width, height], [right, down], picture) {
  return [
    Math.round(held(x + right, 0, picture[0] - width)),
    Math.round(held(y + down, 0, picture[1] - height)),
    width,
    height,
  ];
}

// One corner goes with the finger, the one across from it stays.
export function resized([x, y, width, height], [right, foot], by, picture) {
  const least = leastOf(picture);
  const side = (start, size, far, off, most) => {
    const [low, high] = [start, start + size];
    return far
      ? [low, Math.round(held(high + off, low + least, most))]
      : [Math.round(held(low + off, 0, high - least)), high];
  };
  const [left, toRight] = side(x, width, right, by[0], picture[0]);
  const [top, toFoot] = side(y, height, foot, by[1], picture[1]);
  return [left, top, toRight - left, toFoot - top];
}

export function joined(boxes) {
  const left = Math.min(...boxes.map((each) => each[0]));
  const top = Math.min(...boxes.map((each) => each[1]));
  const right = Math.max(...boxes.map((each) => each[0] + each[2]));
  const foot = Math.max(...boxes.map((each) => each[1] + each[3]));
  return [left, top, right - left, foot - top];
}

// Two halves side by side along the longer side; one that is too small stays whole.
export function split([x, y, width, height], picture) {
  if (Math.max(width, height) < 2 * leastOf(picture)) return [[x, y, width, height]];
  if (width >= height) {
    const half = Math.floor(width / 2);
    return [[x, y, half, height], [x + half, y, width - half, height]];
  }
  const half = Math.floor(height / 2);
  return [[x, y, width, half], [x, y + half, width, height - half]];
}

// As large as the others mostly are; of nothing, a quarter of the picture.
export function usual(boxes, picture) {
  const size = (n) => {
    if (!boxes.length) return picture[n] / 4;
    const sizes = boxes.map((each) => each[n + 2]).sort((a, b) => a - b);
    return sizes[Math.floor(sizes.length / 2)];
  };
  return [size(0), size(1)].map(Math.round);
}

// A new box in the middle of what is seen, and not exactly over another.
export function middle([width, height], [x, y, wide, high], boxes, picture) {
  const step = leastOf(picture);
  let box = [x + (wide - width) / 2, y + (high - height) / 2, width, height];
  box = moved(box, [0, 0], picture);
  while (boxes.some((each) => each.join() === box.join())) {
    const next = moved(box, [step, step], picture);
    if (next.join() === box.join()) break;
    box = next;
  }
  return box;
}

// The smallest box at a point, since it may lie in a larger one.
export function smallestAt(boxes, [x, y]) {
  const there = boxes.filter(
    (each) => x >= each[0] && x <= each[0] + each[2] && y >= each[1] && y <= each[1] + each[3],
  );
  return there.sort((a, b) => a[2] * a[3] - b[2] * b[3])[0] ?? null;
}
