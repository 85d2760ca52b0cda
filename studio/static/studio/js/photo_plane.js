// Between millimetres on paper and the pixels of its photo: two homographies, and a bend of the lens
// about the picture's middle, as the server answered them on <svg class="traced">.
const numbers = (text) => text.trim().split(/\s+/).map(Number);

function through(matrix, [x, y]) {
  const [a, b, c] = [0, 3, 6].map((n) => matrix[n] * x + matrix[n + 1] * y + matrix[n + 2]);
  return [a / c, b / c];
}

function middleOf(svg) {
  const { width, height } = svg.viewBox.baseVal;
  const middle = [(width - 1) / 2, (height - 1) / 2];
  return { middle, reach: Math.hypot(...middle), bend: Number(svg.dataset.bend) };
}

export function toPhoto(svg, paper) {
  const { middle, reach, bend } = middleOf(svg);
  const off = through(numbers(svg.dataset.toPhoto), paper).map((each, n) => each - middle[n]);
  const by = 1 + (bend * (off[0] ** 2 + off[1] ** 2)) / reach ** 2;
  return off.map((each, n) => middle[n] + each * by);
}

export function toPaper(svg, at) {
  const { middle, reach, bend } = middleOf(svg);
  const off = at.map((each, n) => (each - middle[n]) / reach);
  let straight = off;
  for (let round = 0; round < 6; round += 1) {
    const by = 1 + bend * (straight[0] ** 2 + straight[1] ** 2);
    straight = off.map((each) => each / by);
  }
  const unbent = straight.map((each, n) => middle[n] + each * reach);
  return through(numbers(svg.dataset.toPaper), unbent);
}
