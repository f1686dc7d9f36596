// A tap on the map of a tubesheet asks for the hole under the finger. Without this a row is picked from the list above the map.
const FINGER = 16; // CSS px, half the width of a finger

export function taps(root) {
  for (const mark of root.querySelectorAll("[data-map]")) {
    const [x, y, scale, way, radius] = mark.dataset.map.split(" ").map(Number);
    const svg = mark.ownerSVGElement;
    svg.addEventListener("click", (event) => {
      const to = svg.getScreenCTM();
      const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(to.inverse());
      const place = [((at.x - x) / scale) * way, (y - at.y) / scale];
      if (Math.hypot(...place) > radius) return;
      const address = new URL(location.pathname, location.href);
      const end = new URLSearchParams(location.search).get("end");
      if (end) address.searchParams.set("end", end);
      address.searchParams.set("at", [...place, FINGER / (to.a * scale)].map((n) => n.toFixed(2)).join(","));
      location.assign(address);
    });
  }
  for (const word of root.querySelectorAll("[data-tap]")) word.hidden = false;
}
