"use strict";
// node make.js CHROMIUM BEADWISE PLATES WORK FOLDER: called by make.sh
const path = require("path");
const { spawnSync } = require("child_process");
const { chromium } = require("playwright-core");

const [, , executablePath, beadwise, plates, work, folder] = process.argv;

// Each picture: what it is called, the plate, what is cut out of the page, what is done to it first.
const pictures = [
  { name: "page", plate: "grafting_jig_many_pins.gcode", clip: { x: 0, y: 0, width: 1100, height: 725 } },
  { name: "finding", plate: "irrigation_clips_not_pulled_back.gcode", part: "article.finding figure.place" },
  { name: "dragged", plate: "grafting_jig_dragged_pins.gcode", part: "article.finding figure.place" },
  { name: "strips", plate: "grafting_jig_many_pins.gcode", part: "section.course" },
  { name: "layers", plate: "grafting_jig_dragged_pins.gcode", part: "section.layers" },
];

async function draw(browser, picture) {
  const file = path.join(work, `${picture.name}.html`);
  const run = spawnSync(beadwise, ["check", "--quiet", "--out", `html=${file}`, picture.plate], { cwd: plates });
  if (![0, 1].includes(run.status)) throw new Error(`${picture.plate}: status ${run.status}: ${run.stderr}`);
  const context = await browser.newContext({ offline: true, viewport: { width: 1100, height: 800 }, colorScheme: "light" });
  const tab = await context.newPage();
  await tab.goto(`file://${file}`);
  const to = { path: path.join(folder, `${picture.name}.png`), animations: "disabled" };
  if (picture.part) {
    const part = tab.locator(picture.part).first();
    await part.waitFor({ state: "visible" });
    // Not stretched to the height of what stands beside it.
    await part.evaluate((element) => { element.style.alignSelf = "start"; });
    await part.screenshot(to);
  } else {
    await tab.screenshot({ ...to, clip: picture.clip });
  }
  await context.close();
}

async function main() {
  const browser = await chromium.launch({ executablePath, args: ["--no-sandbox"] });
  for (const picture of pictures) await draw(browser, picture);
  await browser.close();
}

main().catch((trouble) => {
  console.error(trouble.message);
  process.exit(1);
});
