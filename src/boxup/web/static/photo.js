// A photo is made smaller before it is sent; what cannot be made smaller here is sent as it is.
const LONGEST = 1600;

export function photos(root) {
  for (const field of root.querySelectorAll("input[data-photo]")) field.addEventListener("change", () => shrink(field));
}

async function shrink(field) {
  const file = field.files[0];
  if (!file) return;
  try {
    const picture = await createImageBitmap(file);
    const scale = Math.min(1, LONGEST / Math.max(picture.width, picture.height));
    const canvas = document.createElement("canvas");
    canvas.width = Math.round(picture.width * scale);
    canvas.height = Math.round(picture.height * scale);
    canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
    const blob = await new Promise((done) => canvas.toBlob(done, "image/jpeg", 0.85));
    const list = new DataTransfer();
    list.items.add(new File([blob], "photo.jpg", { type: "image/jpeg" }));
    field.files = list.files;
  } catch {
    // an old browser, or a form it cannot read: the server looks at it
  }
}
