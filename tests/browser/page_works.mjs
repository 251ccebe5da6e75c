// SPDX-License-Identifier: MIT
// The bench page does what it says: node page_works.mjs DAMPER SOURCE MODULES
import { execFileSync } from "node:child_process";
import { cpSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { check, damper, end, launch, opened, redrawn, source, writePage } from "./browser.mjs";

const folder = mkdtempSync(join(tmpdir(), "damper_bench_"));
const run = (...words) => {
  try {
    return execFileSync(damper, words, { encoding: "utf8", cwd: folder, stdio: ["ignore", "pipe", "pipe"] });
  } catch (error) {
    if (error.status !== 1) console.log(error.stderr);
    return error.stdout;  // a limit missed is exit status 1
  }
};
const asJson = (...words) => JSON.parse(run("run", ...words, "--format", "json", "--no-report", "--out", folder));
// Rattle is chaotic: from one machine to the next its figures differ in their third digit.
const alike = (text) => text.replace(/\d[\d.]*/g, "#");
const headline = (page) => page.textContent("#verdicts .verdict .headline");

const file = join(folder, "bench.html");
writePage(file);
check("the page is smaller than 3 MB", statSync(file).size < 3e6, `${(statSync(file).size / 1e6).toFixed(2)} MB`);

const browser = await launch();
const seen = [];
let page = await opened(browser, file, { viewport: { width: 1280, height: 900 } }, seen);
await page.selectOption("#pedal", { index: 0 });

check("the page says of the first scenario what the command says",
      await headline(page) === asJson("car_idle_hot").verdict.headline, await headline(page));

// The number beside it, a rattle, and the same by the command line that the page tells.
await redrawn(page, () => page.fill("#stiffness-0-number", "1.2"));
await redrawn(page, () => page.fill("#hysteresis-0-number", "1"));
const told = (await page.textContent("#command code")).split(" ").slice(2).join(" ");
const words = [...told.matchAll(/'([^']*)'|(\S+)/g)].map((one) => one[1] ?? one[2]);
const changed = asJson(...words);
check("a changed disc is judged as the command does with the changes the page tells",
      alike(await headline(page)) === alike(changed.verdict.headline) && changed.verdict.grade === "bad" &&
      await page.locator("#verdicts .verdict").first().getAttribute("class") === "verdict bad",
      `${words.join(" ")}: ${await headline(page)}`);

await redrawn(page, () => page.selectOption("#situation", "car_idle_cold"));
check("a changed disc goes along to another situation", await page.inputValue("#stiffness-0-number") === "1.2" &&
      alike(await headline(page)) === alike(asJson("car_idle_cold", ...words.slice(1)).verdict.headline), await headline(page));
await redrawn(page, () => page.selectOption("#situation", "car_idle_hot"));

// Saved files.
const saved = async (button, name) => {
  const [download] = await Promise.all([page.waitForEvent("download"), page.click(button)]);
  await download.saveAs(join(folder, name));
  return readFileSync(join(folder, name), "utf8");
};
await saved("#save-disc", "disc.toml");
const again = asJson("car_idle_hot", "--set", "disc=disc.toml");
const apart = Math.max(...again.measures.map((one, i) =>
  Math.abs(one.value - changed.measures[i].value) / Math.max(Math.abs(one.value), 1e-9)));
check("the saved disc is the same disc on the command line", apart < 1e-6, apart.toExponential(1));

const hostile = 'He said "rattle" \\ ]\n[change]\n<b>&';
await page.selectOption("#symptom", "rattle at idle");
await page.fill("#say-title", hostile.replace(/\n/g, " "));
await page.fill("#say-notes", hostile);
await page.selectOption("#answer-warm", { index: 1 });
await page.check("#with-disc");
const complaint = await saved("#save-complaint", "case.toml");
check("the page says what to do with the file", await page.textContent("#complaint-saved code") === "damper diagnose rattle_at_idle.toml");
const diagnosis = run("diagnose", "case.toml", "--vehicles", "8", "--no-discs");
check("the command takes the saved complaint", /rattle at idle/.test(diagnosis) && /He said "rattle"/.test(diagnosis),
      complaint.split("\n").length + " lines");

// Two discs.
await redrawn(page, () => page.click("#reset"));
await page.selectOption("#other", "car_no_idle_stage");
await page.waitForFunction(() => document.querySelectorAll("#verdicts .verdict")[1].classList.contains("bad"));
const second = asJson("car_idle_hot", "--set", "disc=car_no_idle_stage").verdict.headline;
check("the second disc has its own verdict",
      alike(await page.textContent("#verdicts .verdict:nth-child(2) .headline")) === alike(second), second);
check("loops and bars of both discs are drawn",
      await page.locator("#loop .curve.b").count() === 2 && await page.locator("#beats .bar.b").count() > 5);
await redrawn(page, () => page.selectOption("#situation", "car_pull_3"));
const beside = await page.locator("#verdicts .verdict:nth-child(2) .headline").allTextContents();
check("no disc is held against one in another situation", beside.every((one) => !/idle/.test(one)), beside.join());
await redrawn(page, () => page.selectOption("#situation", "car_idle_hot"));
await page.click("#keep");
check("a disc can be kept to compare with", (await page.inputValue("#other")) === "kept");

// A slip is told in words, and mended by the next move.
await page.evaluate(() => { document.getElementById("situation").dispatchEvent(new Event("change")); });
await redrawn(page, () => page.fill("#stiffness-1-number", "20"));
await page.fill("#stiffness-1-number", "20000");
await page.waitForSelector("#trouble:not([hidden])");
check("a value out of range is told by key", /disc\.stages\[1\]\.stiffness/.test(await page.textContent("#trouble")),
      (await page.textContent("#trouble")).slice(0, 90));
await redrawn(page, () => page.fill("#stiffness-1-number", "18"));
check("and is gone when it is mended", await page.isHidden("#trouble"));

// By keyboard alone.
await page.focus("#drive_end-0");
const before = await page.inputValue("#drive_end-0-number");
await redrawn(page, () => page.keyboard.press("ArrowRight"));
check("a slider moves by the arrow keys", before !== await page.inputValue("#drive_end-0-number"));
check("and says its value with the unit", /^[\d.]+ °$/.test(await page.getAttribute("#drive_end-0", "aria-valuetext")));
await page.waitForFunction(() => /^Disc A: (Good|Watch|Bad)\. /.test(document.getElementById("said").textContent));
check("the verdict is told to those who cannot see it", true, await page.textContent("#said"));

// Every kind of situation draws something.
for (const [vehicle, situation] of [["car_petrol", "car_pull_3"], ["car_petrol", "car_engine_stop"],
                                    ["medium_truck", "medium_truck_take_up_2"], ["van_two_mass", "van_two_mass_idle_hot"]]) {
  if (await page.inputValue("#vehicle") !== vehicle) await redrawn(page, () => page.selectOption("#vehicle", vehicle));
  await redrawn(page, () => page.selectOption("#situation", situation));
  check(`${situation} is calculated and drawn`, await page.isHidden("#trouble") &&
        await page.locator("#beats svg .curve, #beats svg .bar").count() > 0);
}
check("nothing was asked of the network, and no script complained", seen.length === 0, seen.join("; "));
await page.context().close();

// Titles that mean harm stay text.
const harm = '</script><img src=x onerror=alert(1)><b>"\\u0027';
cpSync(join(source, "models"), join(folder, "m/models"), { recursive: true });
cpSync(join(source, "scenarios"), join(folder, "m/scenarios"), { recursive: true });
for (const name of ["models/vehicles/car_petrol.toml", "scenarios/car_idle_hot.toml"]) {
  const text = readFileSync(join(source, name), "utf8");
  writeFileSync(join(folder, "m", name), text.replace(/^title = .*$/m, () => `title = '${harm}'`));
}
run("bench", "--models", join(folder, "m/models"), "--out", file, "--quiet");
const harmed = [];
page = await opened(browser, file, {}, harmed);
check("text of description files stays text", harmed.length === 0 && await page.locator("img").count() === 0 &&
      await page.locator("#vehicle option").evaluateAll((all, wanted) => all.some((one) => one.textContent === wanted), harm),
      harmed.join("; "));
await browser.close();
rmSync(folder, { recursive: true });
end();
