// SPDX-License-Identifier: MIT
// The bench page as the README shows it: node take_picture.mjs DAMPER SOURCE MODULES PNG
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { launch, opened, redrawn, writePage } from "./browser.mjs";

const folder = mkdtempSync(join(tmpdir(), "damper_bench_"));
const file = join(folder, "bench.html");
writePage(file);
const browser = await launch();
const page = await opened(browser, file, { viewport: { width: 1280, height: 900 }, colorScheme: "light" });
await redrawn(page, () => page.fill("#stiffness-0-number", "0.8"));
await page.evaluate(() => document.activeElement.blur());
await page.waitForTimeout(1500);  // the change of the pedal comes a moment later
await page.screenshot({ path: process.argv[5] });
await browser.close();
rmSync(folder, { recursive: true });
