// A picture of a fault, made small enough to wait on a phone: JPEG in base64, at most so many bytes.
"use strict";
(function (root) {
  const SIDE = 1280, BYTES_MAX = 150000;
  async function photoText(file) {
    const picture = await createImageBitmap(file), canvas = document.createElement("canvas");
    for (let side = SIDE, quality = 0.7; side > 200; side *= 0.75, quality = Math.max(0.4, quality - 0.1)) {
      const scale = Math.min(1, side / Math.max(picture.width, picture.height));
      canvas.width = Math.max(1, Math.round(picture.width * scale));
      canvas.height = Math.max(1, Math.round(picture.height * scale));
      canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
      const text = canvas.toDataURL("image/jpeg", quality).split(",")[1];
      if (text.length * 0.75 <= BYTES_MAX) return text;
    }
    throw new Error("the picture stays too large");
  }
  root.photoText = photoText;
})(window);
