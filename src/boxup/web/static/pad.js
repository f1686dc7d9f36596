// One number pad a form, large enough for a glove: it writes into the box last touched and says which one that is.
// With gloves it comes when a box is touched, and is there at once where readings are taken; else a button brings it. The tablet's own
// keyboard stays away while it is open.
const KEYS = ["7", "8", "9", "⌫", "4", "5", "6", "−", "1", "2", "3", ".", "0"];

export function pads(root) {
  const glove = document.documentElement.dataset.glove === "yes";
  for (const form of root.querySelectorAll("form.entry")) {
    const folds = new Map(); // boxes that are folded away together have a pad of their own: it is shown and hidden with them
    for (const box of form.querySelectorAll("input[data-pad]")) {
      const fold = box.closest("details, form");
      folds.set(fold, [...(folds.get(fold) || []), box]);
    }
    for (const boxes of folds.values()) new Pad(form, boxes, glove);
  }
}

class Pad {
  constructor(form, boxes, glove) {
    this.boxes = boxes;
    const [name, next, gone] = (form.dataset.padWords || "Number pad|Next|Delete").split("|");
    this.box = document.createElement("div");
    this.box.className = "pad";
    this.box.setAttribute("role", "group");
    this.box.setAttribute("aria-label", name);
    this.said = document.createElement("output");
    this.box.append(this.said);
    for (const key of KEYS) this.key(key, () => this.press(key), key === "⌫" ? gone : "");
    this.key(next, () => this.turn(this.boxes[(this.boxes.indexOf(this.at) + 1) % this.boxes.length]), "", "next");
    for (const field of boxes) {
      field.addEventListener("focus", () => (glove ? this.open(true, field) : this.turn(field)));
      if (glove) field.inputMode = "none";
      field.addEventListener("input", () => this.say());
    }
    this.show = document.createElement("button");
    this.show.type = "button";
    this.show.className = "second";
    this.show.textContent = name;
    this.show.addEventListener("click", () => this.open(this.box.hidden, this.at));
    (boxes.at(-1).closest(".quantity") || boxes.at(-1).closest(".field")).after(this.show, this.box);
    this.glove = glove;
    this.open(glove && form.classList.contains("reading"), boxes[0]);
  }

  key(text, act, label, cls) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = text;
    if (label) button.setAttribute("aria-label", label);
    if (cls) button.className = cls;
    button.addEventListener("click", act);
    this.box.append(button);
  }

  open(open, field) {
    this.box.hidden = !open;
    this.show.hidden = open && this.glove;
    this.show.setAttribute("aria-expanded", String(open));
    for (const one of this.boxes) one.inputMode = open || this.glove ? "none" : "decimal";
    this.turn(field);
  }

  turn(field) {
    this.at = field;
    for (const one of this.boxes) one.classList.toggle("at", one === field && !this.box.hidden);
    this.say();
  }

  // What is being typed stands over the keys as well: its box may have scrolled out of sight.
  say() {
    const name = this.at.closest(".field").querySelector("span").textContent;
    const unit = this.at.closest(".quantity")?.querySelector("select");
    this.said.textContent = `${name}: ${this.at.value || "…"} ${unit ? unit.selectedOptions[0].textContent : ""}`;
  }

  press(key) {
    const field = this.at;
    if (key === "⌫") field.value = field.value.slice(0, -1);
    else if (key === "−") field.value = field.value.startsWith("-") ? field.value.slice(1) : `-${field.value}`;
    else if (key !== "." || !field.value.includes(".")) field.value += key;
    field.dispatchEvent(new Event("input", { bubbles: true }));
  }
}
