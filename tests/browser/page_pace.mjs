// SPDX-License-Identifier: MIT
// The bench page keeps up with a slider: node page_pace.mjs DAMPER SOURCE MODULES
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { check, end, launch, opened, writePage } from "./browser.mjs";

const folder = mkdtempSync(join(tmpdir(), "damper_bench_"));
const file = join(folder, "bench.html");
writePage(file);
const browser = await launch();
const page = await opened(browser, file, { viewport: { width: 1280, height: 900 } });

// From a slider's move to the frame with the verdict, as the page sees it; sorted.
const moves = () => page.evaluate(async () => {
  const slider = document.getElementById("stiffness-0");
  const results = document.getElementById("results");
  const times = [];
  for (let i = 0; i < 15; i++) {
    const before = results.dataset.drawn;
    const begin = performance.now();
    slider.value = Number(slider.value) + (i % 2 === 0 ? 4 : -3);
    slider.dispatchEvent(new Event("input", { bubbles: true }));
    await new Promise((done) => {
      const watch = new MutationObserver(() => {
        if (results.dataset.drawn !== before) { watch.disconnect(); done(); }
      });
      watch.observe(results, { attributes: true });
    });
    await new Promise(requestAnimationFrame);
    times.push(performance.now() - begin);
  }
  return times.sort((a, b) => a - b);
});

// The best of three rounds, because others may be at work on this machine.
const rounds = [await moves(), await moves(), await moves()].sort((a, b) => a[7] - b[7]);
check("from a slider's move to the verdict it takes less than 150 ms in the median", rounds[0][7] < 150,
      `${rounds[0].map((one) => one.toFixed(0)).join(" ")} ms`);

// Moves faster than that are not queued: the last one is what is shown, soon.
const late = await page.evaluate(async () => {
  const slider = document.getElementById("stiffness-0");
  const begin = performance.now();
  for (let i = 0; i < 40; i++) {
    slider.value = 60 + i;
    slider.dispatchEvent(new Event("input", { bubbles: true }));
    await new Promise((done) => { setTimeout(done, 5); });
  }
  const sent = performance.now() - begin;
  const results = document.getElementById("results");
  let before;
  do {
    before = results.dataset.drawn;
    await new Promise((done) => { setTimeout(done, 600); });
  } while (results.dataset.drawn !== before);
  return { drawn: Number(before), sent };
});
check("a slider in motion drops what it has passed by", late.drawn < 1 + 3 * 15 + 40, `${late.drawn} pictures`);
await browser.close();
rmSync(folder, { recursive: true });
end();
