// SPDX-License-Identifier: MIT
// How the bench page looks, on a screen, a telephone, paper and to assistive techniques:
//     node page_looks.mjs DAMPER SOURCE MODULES
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { axe, check, end, launch, opened, pixelsNear, redrawn, writePage } from "./browser.mjs";

const folder = mkdtempSync(join(tmpdir(), "damper_bench_"));
const file = join(folder, "bench.html");
writePage(file);
const browser = await launch();

async function axeFinds(page) {
  await page.evaluate(readFileSync(axe, "utf8"));
  const found = await page.evaluate(() => window.axe.run(document, { resultTypes: ["violations"] }));
  return found.violations.filter((one) => ["serious", "critical"].includes(one.impact))
    .map((one) => `${one.id}: ${one.nodes[0].target}`);
}

// Boxes of elements that lie over one another by more than a pixel, none inside another.
const overlaps = (page, selector) => page.locator(selector).evaluateAll((all) => {
  const found = [];
  const boxes = all.map((one) => ({ one, box: one.getBoundingClientRect() })).filter(({ box }) => box.width * box.height > 0);
  boxes.forEach((a, i) => boxes.slice(i + 1).forEach((b) => {
    if (a.one.contains(b.one) || b.one.contains(a.one)) return;
    const wide = Math.min(a.box.right, b.box.right) - Math.max(a.box.left, b.box.left);
    const high = Math.min(a.box.bottom, b.box.bottom) - Math.max(a.box.top, b.box.top);
    if (wide > 1 && high > 1) found.push(`${a.one.textContent.slice(0, 20)} / ${b.one.textContent.slice(0, 20)}`);
  }));
  return found;
});

const tooWide = (page) => page.evaluate(() => [...document.querySelectorAll("body *")]
  .filter((one) => one.getBoundingClientRect().right > document.documentElement.clientWidth + 1 &&
                   !one.closest(".unseen, .skip, svg, thead"))
  .map((one) => one.id || one.className || one.tagName));

// --- a screen ---
let page = await opened(browser, file, { viewport: { width: 1280, height: 900 }, colorScheme: "light" });
await page.selectOption("#other", "car_no_idle_stage");
await page.waitForSelector("#verdicts .verdict.bad");
await redrawn(page, () => page.fill("#stiffness-0-number", "0.5"));
const blue = [34, 87, 122], brown = [180, 72, 15], grey = [107, 115, 120];
for (const [what, selector, colour, least] of [
  ["loop of A", "#loop", blue, 300], ["loop of B", "#loop", brown, 150], ["bars of the flywheel", "#beats", grey, 500],
  ["bars of B", "#beats", brown, 500], ["acceleration with A", "#pedal-curve", blue, 200]]) {
  const { near, all } = await pixelsNear(page, selector, colour);
  check(`the ${what} can be seen`, near > least && near < 0.4 * all, `${near} of ${all} pixels`);
}
const curve = await page.locator("#loop .curve.a").first().evaluate((one) => one.getBoundingClientRect().width);
check("the loop is as wide as a chart", curve > 200, `${curve.toFixed(0)} px`);
const zone = await page.locator("#loop .zone.a").evaluate((one) => ({ x: one.getBoundingClientRect().left, w: one.getBoundingClientRect().width }));
const swings = await page.locator("#loop .curve.path").evaluate((one) => ({ x: one.getBoundingClientRect().left, w: one.getBoundingClientRect().width }));
check("the marked range holds the swings", zone.x < swings.x + 3 && zone.x + zone.w > swings.x + swings.w - 3 && swings.w > 3,
      JSON.stringify([zone, swings]));
check("sections lie beside and below each other", (await overlaps(page, "main section")).length === 0);
check("words of charts do not lie over one another",
      (await Promise.all(["#loop", "#beats", "#pedal-curve"].map((one) => overlaps(page, `${one} text`)))).flat().length === 0,
      (await Promise.all(["#loop", "#beats", "#pedal-curve"].map((one) => overlaps(page, `${one} text`)))).flat().join("; "));
check("nothing sticks out to the right", (await tooWide(page)).length === 0, (await tooWide(page)).join(" "));
let faults = await axeFinds(page);
check("axe finds no serious fault", faults.length === 0, faults.join("; "));

// --- in the dark ---
await page.emulateMedia({ colorScheme: "dark" });
faults = await axeFinds(page);
check("nor in the dark", faults.length === 0, faults.join("; "));

// --- paper ---
await page.emulateMedia({ media: "print", colorScheme: "light" });
check("paper shows no sliders and buttons", await page.locator("input[type=range]:visible, button:visible").count() === 0);
check("paper shows verdicts and charts", await page.locator("#verdicts .verdict:visible").count() === 2 &&
      await page.locator("svg.chart:visible").count() === 3);
const paper = await page.pdf({ format: "A4" });
const sheets = (paper.toString("latin1").match(/\/Type\s*\/Page[^s]/g) || []).length;
check("a print has a few sheets", sheets >= 2 && sheets <= 8, sheets);
await page.context().close();

// --- a telephone ---
page = await opened(browser, file, { viewport: { width: 390, height: 844 }, isMobile: true, hasTouch: true });
const width = await page.evaluate(() => document.documentElement.scrollWidth);
check("a telephone scrolls in one direction only", width <= 390 && (await tooWide(page)).length === 0,
      `${width} px ${(await tooWide(page)).join(" ")}`);
const small = await page.locator("button:visible, select:visible, input[type=number]:visible").evaluateAll((all) =>
  all.filter((one) => one.getBoundingClientRect().height < 30).map((one) => one.id));
check("what is touched is large enough", small.length === 0, small.join(" "));
faults = await axeFinds(page);
check("axe finds no serious fault on a telephone", faults.length === 0, faults.join("; "));
check("sections do not lie over one another there", (await overlaps(page, "main section")).length === 0);
await browser.close();
rmSync(folder, { recursive: true });
end();
