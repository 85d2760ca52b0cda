// What the scripts say, from the page, so that it is translated with the rest.
export const word = (name) => document.getElementById("words")?.dataset[name] ?? "";
