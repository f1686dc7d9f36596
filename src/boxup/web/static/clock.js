// What is left of a wait, counted down from the moment the server said it was. The words are the page's own.
const MINUTE = 60_000;

export function clocks(root) {
  for (const box of root.querySelectorAll("[data-until]")) count(box);
}

function count(box) {
  const left = Date.parse(box.dataset.until) - Date.parse(box.dataset.now);
  const began = performance.now();
  const tell = () => {
    const still = Math.floor((left - (performance.now() - began)) / MINUTE);
    if (still < 0) {
      box.textContent = box.dataset.over;
      clearInterval(beat);
      return;
    }
    box.textContent = box.dataset.left.replace("{h}", Math.floor(still / 60)).replace("{min}", still % 60);
  };
  const beat = setInterval(tell, 10_000);
  tell();
}
