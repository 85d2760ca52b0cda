// <form class="scaled">: the measures that tapped points need are required while they are asked for,
// so that the browser says what lacks before it sends the photo, which it would not keep.
document.addEventListener("input", (event) => ask(event.target.closest("form.scaled")));
document.querySelectorAll("form.scaled").forEach(ask);

function ask(form) {
  if (!form) return;
  const { upper, left, right } = form.elements;
  const scale = form.elements.scale.value;
  upper.required = scale !== "card";
  // Of half a drawing one side is enough.
  right.required = scale === "four" && !left.value.trim();
}
