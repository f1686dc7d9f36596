// While a place is typed, the parts of the page that speak of it are asked for again and put in their stead. Without this the button does it.
const WAIT = 300; // ms after the last key

export function lifts(root) {
  for (const form of root.querySelectorAll("form[data-lift]")) follow(form);
}

function follow(form) {
  let timer;
  let running;
  form.addEventListener("input", () => {
    clearTimeout(timer);
    timer = setTimeout(() => {
      running?.abort();
      running = new AbortController();
      ask(form, running.signal);
    }, WAIT);
  });
}

async function ask(form, signal) {
  const parts = form.dataset.lift.split(" ").map((id) => document.getElementById(id)).filter(Boolean);
  for (const here of parts) here.setAttribute("aria-busy", "true"); // what stands there is of another place until the answer is here
  try {
    const address = `${form.action}?${new URLSearchParams(new FormData(form))}`;
    const answer = await fetch(address, { signal });
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    for (const here of parts) {
      const part = page.getElementById(here.id);
      if (part) here.replaceWith(part);
      else here.replaceChildren();
    }
  } catch (error) {
    if (error.name !== "AbortError") for (const here of parts) here.replaceChildren(); // nothing is better than the figures of another place
  }
}
