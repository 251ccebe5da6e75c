// SPDX-License-Identifier: MIT
// What the tests of the page share: a browser without network, a page that has begun, checks that
// are counted, pictures as numbers.
import { execFileSync } from "node:child_process";
import { existsSync } from "node:fs";
import { createRequire } from "node:module";
import { resolve } from "node:path";
import { skip } from "./skip.mjs";

export const [damper, source, modules] = process.argv.slice(2).map((one) => resolve(one));
const browserFile = process.env.DAMPER_CHROMIUM || "/usr/bin/chromium";
if (!existsSync(browserFile)) skip(`there is no ${browserFile} (tools/setup_packages check)`);
if (!existsSync(`${modules}/node_modules/playwright-core`)) skip("no node modules (tools/setup_browser)");
const require = createRequire(`${modules}/`);
const { chromium } = require("playwright-core");
export const axe = require.resolve("axe-core");

// Writes the page; without its engine there is none.
export function writePage(file) {
  try {
    execFileSync(damper, ["bench", "--out", file, "--quiet"], { encoding: "utf8", stdio: "pipe" });
  } catch (error) {
    if (/emscripten was missing/.test(error.stderr)) skip(error.stderr.trim());
    throw error;
  }
}

export const launch = () => chromium.launch({
  executablePath: browserFile,
  args: ["--no-sandbox", "--disable-gpu", "--disable-background-networking",
         "--disable-component-update", "--disable-sync"] });

let failed = 0, passed = 0;
export function check(what, holds, found) {
  if (holds) passed++; else failed++;
  console.log(`${holds ? "ok" : "FAILED"}: ${what}${found === undefined ? "" : ` (${found})`}`);
}
export function end() {
  console.log(`${passed} checks passed, ${failed} failed`);
  process.exitCode = failed === 0 && passed > 0 ? 0 : 1;
}

// The page, offline, once its first results are there. `seen` takes what must not happen.
export async function opened(browser, file, options, seen = []) {
  const context = await browser.newContext({ offline: true, acceptDownloads: true, ...options });
  const page = await context.newPage();
  page.on("console", (message) => seen.push(`console: ${message.text()}`));
  page.on("pageerror", (error) => seen.push(`error: ${error.message}`));
  page.on("dialog", (dialog) => { seen.push(`dialog: ${dialog.message()}`); dialog.dismiss(); });
  page.on("request", (request) => {
    if (!/^(file|blob):/.test(request.url())) seen.push(`request: ${request.url().slice(0, 80)}`);
  });
  await page.goto(`file://${file}`);
  await page.waitForSelector("#results[data-drawn]", { timeout: 60000 });
  await page.waitForSelector("#pedal-section[data-drawn]", { timeout: 60000, state: "attached" });
  return page;
}

// Waits until disc A was drawn again after `act`.
export async function redrawn(page, act) {
  const before = await page.getAttribute("#results", "data-drawn");
  await act();
  await page.waitForFunction((was) => document.getElementById("results").dataset.drawn !== was, before,
                             { timeout: 60000 });
}

// How many pixels of an element are near a colour [r, g, b], and how many there are.
export async function pixelsNear(page, selector, colour) {
  const picture = (await page.locator(selector).screenshot()).toString("base64");
  return page.evaluate(async ([base64, wanted]) => {
    const bytes = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
    const bitmap = await createImageBitmap(new Blob([bytes], { type: "image/png" }));
    const canvas = new OffscreenCanvas(bitmap.width, bitmap.height);
    const context = canvas.getContext("2d");
    context.drawImage(bitmap, 0, 0);
    const { data } = context.getImageData(0, 0, bitmap.width, bitmap.height);
    let near = 0;
    for (let i = 0; i < data.length; i += 4) {
      if (wanted.every((value, c) => Math.abs(data[i + c] - value) < 40)) near++;
    }
    return { near, all: data.length / 4 };
  }, [picture, colour]);
}
