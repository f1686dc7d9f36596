// A photo is made smaller before it is sent, and no longer says where it was taken; what cannot be read here is sent as it is, and the
// server takes out where it was taken. It is shown under the field, so that one sees what will be on record.
const LONGEST = 1600;

export function photos(root) {
  for (const field of root.querySelectorAll("input[data-photo]")) field.addEventListener("change", () => taken(field));
}

async function taken(field) {
  const file = field.files[0];
  show(field, file);
  if (!file) return;
  try {
    const blob = await smaller(file);
    if (field.files[0] !== file || !blob) return; // another was taken meanwhile
    const list = new DataTransfer();
    list.items.add(new File([blob], "photo.jpg", { type: "image/jpeg" }));
    field.files = list.files;
  } catch {
    // an old browser, or a form it cannot read: the server looks at it
  }
}

async function smaller(file) {
  const picture = await createImageBitmap(file, { imageOrientation: "from-image" });
  const scale = Math.min(1, LONGEST / Math.max(picture.width, picture.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(picture.width * scale));
  canvas.height = Math.max(1, Math.round(picture.height * scale));
  const pen = canvas.getContext("2d");
  pen.fillStyle = "#fff"; // what is clear in the picture is white in a JPEG
  pen.fillRect(0, 0, canvas.width, canvas.height);
  pen.drawImage(picture, 0, 0, canvas.width, canvas.height);
  return new Promise((done) => canvas.toBlob(done, "image/jpeg", 0.85));
}

function show(field, file) {
  const box = field.closest(".field") ?? field.parentElement;
  const old = box.querySelector("img.taken");
  if (old) URL.revokeObjectURL(old.src);
  old?.remove();
  if (!file) return;
  const img = document.createElement("img");
  img.className = "taken";
  img.alt = file.name;
  img.addEventListener("error", () => img.remove());
  img.src = URL.createObjectURL(file);
  box.append(img);
}
