// Each page works without this. What a page needs of it is named by its data attributes.
import { clocks } from "./clock.js";
import { lifts } from "./lift.js";
import { pads } from "./pad.js";
import { photos } from "./photo.js";
import { taps } from "./tap.js";

clocks(document);
lifts(document);
pads(document);
photos(document);
taps(document);

// A form that is being sent is not sent again by a second press.
for (const form of document.querySelectorAll("form.entry")) {
  form.addEventListener("submit", () => {
    for (const button of form.querySelectorAll("button[type=submit]")) button.disabled = true;
  });
}
// The page may come back from the browser's own store: its buttons work again then.
addEventListener("pageshow", () => {
  for (const button of document.querySelectorAll("form.entry button[type=submit]")) button.disabled = false;
});
