"use strict";
// node page_test.js CHROMIUM BEADWISE SOURCE_DIR WORK [--approve]
const fs = require("fs");
const path = require("path");
const { spawnSync } = require("child_process");
const { chromium } = require("playwright-core");
const axe = require("axe-core");
const { differing } = require("./compare_pictures.js");

const [, , executablePath, beadwise, sourceDir, work, approve] = process.argv;
const plates = path.join(sourceDir, "examples", "plates");
const expected = path.join(__dirname, "expected");
let passed = 0;
let failed = 0;

function fact(name, holds, detail = "") {
  if (holds) {
    passed += 1;
    console.log(`holds: ${name}`);
  } else {
    failed += 1;
    console.log(`FAILS: ${name}${detail ? `\n  ${detail}` : ""}`);
  }
}

function page(name, data, ...files) {
  const file = path.join(work, `${name}.html`);
  const run = spawnSync(beadwise, ["check", "--quiet", "--out", `html=${file}`, "--report-data", data, ...files]);
  // 1: something was found; 3: one of the files is not there.
  if (![0, 1, 3].includes(run.status)) throw new Error(`${name}: status ${run.status}: ${run.stderr}`);
  return file;
}

// A job whose name, comments, messages and macros try to become part of the page.
function hostileJob() {
  const attack = `"'><script>window.hit=1</script><img src=x onerror=window.hit=2>`;
  const name = `"'><img src=x onerror=window.hit=3>.gcode`;
  const job = fs.readFileSync(path.join(plates, "grafting_jig_many_pins.gcode"), "utf8");
  const lines = [`; ${attack}`, `START_${attack} NOZZLE=210`, `@${attack}`, `M117 ${attack}`, `G1 X${attack}`, `</script><!-- ${attack}`];
  const file = path.join(work, name);
  fs.writeFileSync(file, `${lines.join("\n")}\n${job}`);
  return file;
}

// Opens a page and notes everything that it should not do.
async function opened(browser, file, options = {}) {
  const context = await browser.newContext({ offline: true, viewport: { width: 1280, height: 900 }, ...options });
  const tab = await context.newPage();
  const trouble = [];
  tab.on("request", (request) => {
    if (request.url() !== `file://${file}` && !request.url().startsWith("blob:")) trouble.push(`request ${request.url()}`);
  });
  tab.on("console", (message) => trouble.push(`console: ${message.text()}`));
  tab.on("pageerror", (error) => trouble.push(`error: ${error.message}`));
  tab.on("dialog", (dialog) => { trouble.push("dialog"); dialog.dismiss(); });
  await tab.goto(`file://${file}`);
  return { tab, trouble, close: () => context.close() };
}

async function showLayers(tab) {
  await tab.evaluate(() => document.querySelector("section.layers").scrollIntoView({ behavior: "instant" }));
  await tab.waitForFunction(() => document.querySelector(".here").textContent !== "");
}

async function violations(tab) {
  await tab.evaluate(axe.source);
  const result = await tab.evaluate(() => axe.run(document, {
    runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
  }));
  return result.violations.map((one) => `${one.id}: ${one.nodes.map((node) => node.html.slice(0, 120)).join(" | ")}`);
}

async function testQuiet(browser, name, file) {
  const { tab, trouble, close } = await opened(browser, file);
  if (await tab.$("section.layers")) await showLayers(tab);
  fact(`${name}: no request, no message, no error`, trouble.length === 0, trouble.join("\n  "));
  await close();
}

async function testAccessible(browser, name, file) {
  for (const colorScheme of ["light", "dark"]) {
    for (const width of [1280, 320]) {
      const { tab, close } = await opened(browser, file, { colorScheme, viewport: { width, height: 900 } });
      if (await tab.$("section.layers")) await showLayers(tab);
      const found = await violations(tab);
      fact(`${name}: axe finds nothing, ${colorScheme}, ${width} px`, found.length === 0, found.join("\n  "));
      if (width === 320) {
        const wide = await tab.evaluate(() => document.documentElement.scrollWidth);
        fact(`${name}: nothing reaches beyond 320 px, ${colorScheme}`, wide <= 320, `${wide} px wide`);
      }
      await close();
    }
  }
}

async function testTargets(browser, file) {
  const { tab, close } = await opened(browser, file, { viewport: { width: 320, height: 900 } });
  await showLayers(tab);
  const small = await tab.evaluate(() => [...document.querySelectorAll("button, input, summary, .lanes a")]
    .filter((one) => one.getClientRects().length > 0)
    .map((one) => [one.getBoundingClientRect(), one.outerHTML.slice(0, 80)])
    .filter(([box]) => box.width < 23.5 || box.height < 23.5)
    .map(([box, html]) => `${box.width.toFixed(1)} × ${box.height.toFixed(1)}: ${html}`));
  fact("whatever one presses is at least 24 pixels high and wide", small.length === 0, small.join("\n  "));
  await close();
}

async function testWithoutScript(browser, file) {
  const { tab, trouble, close } = await opened(browser, file, { javaScriptEnabled: false });
  const rows = await tab.locator("section.all tbody tr").count();
  const articles = await tab.locator("article.finding").count();
  fact("without a script every finding is told and stands in the table", rows > 0 && rows === articles, `${rows}, ${articles}`);
  fact("without a script there is a picture", await tab.locator("svg.picture").first().isVisible());
  fact("without a script nothing waits for one", !(await tab.locator("section.layers").isVisible()) &&
    (await tab.locator("button:visible").count()) === 0);
  fact("without a script nothing goes wrong", trouble.length === 0, trouble.join("\n  "));
  await close();
}

const focused = (tab) => tab.evaluate(() => {
  const one = document.activeElement;
  const box = one.getBoundingClientRect();
  const style = getComputedStyle(one);
  const ring = one.closest(".lanes") ? getComputedStyle(one.querySelector(".number")).strokeWidth === "6px"
    : style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2;
  const inside = box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth;
  return { what: one.matches("body") ? "end" : one.dataset.do || one.className.baseVal || one.className || one.tagName.toLowerCase(),
           html: one.outerHTML.slice(0, 90), ring, inside };
});

async function testKeyboard(browser, file) {
  const { tab, close } = await opened(browser, file, { reducedMotion: "reduce" });
  await showLayers(tab);
  await tab.evaluate(() => scrollTo(0, 0));
  const seen = [];
  const hidden = [];
  for (let i = 0; i < 200; ++i) {
    await tab.keyboard.press("Tab");
    const at = await focused(tab);
    if (at.what === "end") break;
    seen.push(at.what);
    if (!at.ring || !at.inside) hidden.push(at.html);
  }
  fact("the first key leads past the head to what was found", seen[0] === "skip", seen[0]);
  for (const what of ["step", "summary", "canvas", "lower", "higher", "layer", "laid", "in", "out", "left", "right", "back", "front", "whole",
                      "travels", "below"]) {
    // At the top or the bottom of the layers one of the two has nothing to do.
    const disabled = await tab.evaluate((name) => Boolean(document.querySelector(`[data-do="${name}"]`)?.disabled), what);
    fact(`the keyboard reaches ${what}`, disabled || seen.includes(what), seen.join(" "));
  }
  fact("where the keyboard is can be seen", hidden.length === 0, hidden.join("\n  "));
  await close();
}

async function testStepping(browser, file) {
  const { tab, trouble, close } = await opened(browser, file, { reducedMotion: "reduce" });
  const here = () => tab.locator(".here").textContent();
  const button = tab.locator("button.step").first();
  const layer = await button.getAttribute("data-layer");
  await button.focus();
  await tab.keyboard.press("Enter");
  await tab.waitForFunction((number) => document.querySelector(".here").textContent.startsWith(`Layer ${number},`), layer);
  fact("a finding leads to its layer", true);
  fact("the picture has the keyboard then", await tab.evaluate(() => document.activeElement.matches("canvas")));
  const ink = () => tab.evaluate(() => document.querySelector("canvas").toDataURL());
  for (const [key, what] of [["+", "looks closer"], ["-", "looks from farther"], ["ArrowLeft", "moves left"], ["ArrowUp", "moves back"],
                             ["Home", "shows the whole layer"]]) {
    const before = await ink();
    await tab.keyboard.press(key);
    fact(`${key} on the picture ${what}`, (await ink()) !== before);
  }
  const before = await here();
  await tab.keyboard.press("PageDown");
  await tab.waitForFunction((text) => document.querySelector(".here").textContent !== text, before);
  const lower = await here();
  fact("page down goes one kept layer down", parseInt(lower.slice(6), 10) < parseInt(layer, 10), lower);
  await tab.keyboard.press("PageUp");
  await tab.waitForFunction((text) => document.querySelector(".here").textContent === text, before);
  fact("page up goes up again", true);

  await tab.locator('[data-do="layer"]').focus();
  await tab.keyboard.press("Home");
  await tab.waitForFunction(() => document.querySelector(".here").textContent.includes("; 1 of "));
  fact("the slider steps through the layers", true);
  const whole = await ink();
  await tab.locator('[data-do="laid"]').focus();
  await tab.keyboard.press("Home");
  fact("fewer beads are drawn when fewer are laid", (await ink()) !== whole);
  await tab.locator('[data-do="laid"]').press("End");
  fact("all of them again at the end", (await ink()) === whole);
  await tab.locator('[data-do="travels"]').check();
  fact("travels can be shown", (await ink()) !== whole);
  fact("stepping through layers goes without trouble", trouble.length === 0, trouble.join("\n  "));
  await close();
}

async function testPrint(browser, file) {
  const { tab, close } = await opened(browser, file, { colorScheme: "dark" });
  const pdf = await tab.pdf({ format: "A4" });
  fact("it prints", pdf.subarray(0, 5).toString() === "%PDF-" && pdf.length > 20000, `${pdf.length} bytes`);
  await tab.emulateMedia({ media: "print" });
  fact("on paper there is nothing to press", (await tab.locator("button:visible, canvas:visible").count()) === 0);
  fact("on paper stand the picture and the advice", (await tab.locator("svg.picture").first().isVisible()) &&
    (await tab.locator("p.now").first().isVisible()));
  const [paper, ink, bead] = await tab.evaluate(() => {
    const style = getComputedStyle(document.body);
    return [style.backgroundColor, style.color, style.getPropertyValue("--bead").trim()];
  });
  fact("paper is white and the ink dark, also where the screen is dark",
    paper === "rgb(255, 255, 255)" && ink === "rgb(0, 0, 0)" && bead === "#b9acc6", `${paper}, ${ink}, ${bead}`);
  await close();
}

async function testInjection(browser, file) {
  const { tab, trouble, close } = await opened(browser, file);
  await showLayers(tab);
  await tab.waitForTimeout(200);
  fact("nothing of a hostile job runs", (await tab.evaluate(() => window.hit)) === undefined);
  fact("nothing of a hostile job becomes an element", (await tab.locator("img").count()) === 0);
  fact("a hostile job asks for nothing", trouble.length === 0, trouble.join("\n  "));
  fact("its name is shown as it is", (await tab.locator(".file").first().textContent()).includes("<img src=x onerror=window.hit=3>"));
  // What gets in all the same is stopped by the policy.
  await tab.evaluate(() => {
    const script = document.createElement("script");
    script.textContent = "window.hit = 4";
    document.body.append(script);
    document.body.insertAdjacentHTML("beforeend", "<img src='https://example.invalid/x.png' onerror='window.hit = 5'>");
  });
  await tab.waitForTimeout(200);
  fact("the policy stops scripts that are not the page's own", (await tab.evaluate(() => window.hit)) === undefined);
  await close();
}

function keepForLooking(name, shot) {
  const folder = path.join(sourceDir, "build", "browser");
  fs.mkdirSync(folder, { recursive: true });
  fs.writeFileSync(path.join(folder, name), shot);
}

// Pictures hold no text, so they look the same with any fonts; edges may be smoothed in another way.
async function testPictures(browser, name, file, shots) {
  for (const colorScheme of ["light", "dark"]) {
    const { tab, close } = await opened(browser, file, { colorScheme, reducedMotion: "reduce", viewport: { width: 900, height: 900 } });
    for (const [part, selector] of shots) {
      const shot = await tab.locator(selector).first().screenshot();
      const stored = path.join(expected, `${name}-${part}-${colorScheme}.png`);
      if (approve === "--approve") fs.writeFileSync(stored, shot);
      if (!fs.existsSync(stored)) {
        fact(`${name}: the ${part} is approved, ${colorScheme}`, false, "run this script with --approve");
        continue;
      }
      const share = await differing(tab, shot, fs.readFileSync(stored));
      if (share > 0.01) keepForLooking(path.basename(stored), shot);
      fact(`${name}: the ${part} looks as approved, ${colorScheme}`, share <= 0.01, `${(100 * share).toFixed(2)} % of it differ`);
    }
    await close();
  }
}

async function main() {
  const plate = (name) => path.join(plates, name);
  const pins = page("pins", "findings", plate("grafting_jig_many_pins.gcode"));
  const volume = page("volume", "findings", plate("with_profile/crate_tags_off_the_plate.gcode"));
  const several = page("several", "full", plate("row_label.gcode"), plate("grafting_jig_many_pins.gcode"), plate("no_such_file.gcode"));
  const words = page("words", "none", plate("crate_tag_heater_left_on.gcode"));
  const hostile = page("hostile", "findings", hostileJob());
  const browser = await chromium.launch({ executablePath, args: ["--no-sandbox", "--disable-gpu", "--force-color-profile=srgb"] });
  try {
    for (const [name, file] of Object.entries({ pins, volume, several, words })) {
      await testQuiet(browser, name, file);
      await testAccessible(browser, name, file);
    }
    await testTargets(browser, pins);
    await testWithoutScript(browser, pins);
    await testKeyboard(browser, pins);
    await testStepping(browser, pins);
    await testPrint(browser, pins);
    await testInjection(browser, hostile);
    await testPictures(browser, "pins", pins, [["picture", "svg.picture"], ["strip", "svg.strip"]]);
    await testPictures(browser, "volume", volume, [["picture", "svg.picture"], ["plan", "svg.plan"]]);
  } finally {
    await browser.close();
  }
  console.log(`${passed} passed, ${failed} failed`);
  return failed === 0 ? 0 : 1;
}

main().then((status) => process.exit(status), (error) => {
  console.log(`FAILS: ${error.stack}\n${passed} passed, ${failed + 1} failed`);
  process.exit(1);
});
