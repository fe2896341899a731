"use strict";

// The share of the pixels of two PNG pictures that clearly differ; 1 where their sizes do. The browser decodes them.
async function differing(tab, one, other) {
  // A smoothed edge may fall a little otherwise: less than this, of 255, in every channel is the same colour.
  const alike = 48;
  const context = await tab.context().browser().newContext({ offline: true });
  const blank = await context.newPage();
  const share = await blank.evaluate(async ([first, second, tolerance]) => {
    const pixels = async (base64) => {
      const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
      const bitmap = await createImageBitmap(new Blob([bytes], { type: "image/png" }));
      const pen = new OffscreenCanvas(bitmap.width, bitmap.height).getContext("2d");
      pen.drawImage(bitmap, 0, 0);
      return pen.getImageData(0, 0, bitmap.width, bitmap.height);
    };
    const [a, b] = [await pixels(first), await pixels(second)];
    if (Math.abs(a.width - b.width) > 1 || Math.abs(a.height - b.height) > 1) return 1;
    const [width, height] = [Math.min(a.width, b.width), Math.min(a.height, b.height)];
    let count = 0;
    for (let y = 0; y < height; ++y) {
      for (let x = 0; x < width; ++x) {
        const [i, k] = [4 * (y * a.width + x), 4 * (y * b.width + x)];
        if ([0, 1, 2].some((channel) => Math.abs(a.data[i + channel] - b.data[k + channel]) > tolerance)) count += 1;
      }
    }
    return count / (width * height);
  }, [one.toString("base64"), other.toString("base64"), alike]);
  await context.close();
  return share;
}

module.exports = { differing };
