// Where a finger or the mouse is, in the units of a drawing.
export const pointIn = (svg, { clientX, clientY }) =>
  new DOMPoint(clientX, clientY).matrixTransform(svg.getScreenCTM().inverse());
