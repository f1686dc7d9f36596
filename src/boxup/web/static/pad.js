// A number pad beside a field, large enough for a glove. The tablet's own keyboard stays away while the pad is open.
const KEYS = ["7", "8", "9", "4", "5", "6", "1", "2", "3", ".", "0", "⌫"];

export function pads(root) {
  const glove = document.documentElement.dataset.glove === "yes";
  for (const field of root.querySelectorAll("input[data-pad]")) {
    if (glove) field.inputMode = "none";
    if (glove) field.closest(".field").append(pad(field));
  }
}

function pad(field) {
  const box = document.createElement("div");
  box.className = "pad";
  for (const key of KEYS) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = key;
    if (key === "⌫") button.setAttribute("aria-label", "delete the last figure");
    button.addEventListener("click", () => press(field, key));
    box.append(button);
  }
  return box;
}

function press(field, key) {
  if (key === "⌫") field.value = field.value.slice(0, -1);
  else if (key !== "." || !field.value.includes(".")) field.value += key;
  field.dispatchEvent(new Event("input", { bubbles: true }));
}
