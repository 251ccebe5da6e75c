// SPDX-License-Identifier: MIT
// The engine of the bench page against the command line: node engine_against_command.mjs
//     DAMPER SOURCE ENGINE (path without ending)
// Runs scenarios both ways and compares all that the JSON text says but how many steps the solver
// took. Where the motion comes out alike again, numbers agree to 1e-9 and words to the letter. Sine
// and exponential of the two differ in their last bit, and contacts that knock make more of that:
// there, measures agree within what `damper check` allows from one machine to the next (0.5 % after
// a change of torque).
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, readdirSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { createRequire } from "node:module";
import { runInNewContext } from "node:vm";
import { skip } from "./skip.mjs";

const [damper, source, engine] = process.argv.slice(2).map((one) => one && resolve(one));
if (!engine) skip("the engine was not built, because emscripten was missing (tools/setup_packages bench)");
const alike = ["car_idle_hot", "car_idle_cold", "van_idle_hot", "medium_truck_idle_cold",
               "heavy_truck_idle_hot", "car_tip_in_5", "heavy_truck_tip_in_9", "car_take_up_3_stall"];
const changed = [["car_idle_hot", [["disc", "car_three_stage"], ["disc.stages[0].hysteresis", "times 1.5"]], ""],
                 ["car_idle_hot", [], "weak_cylinder"]];
const knocking = ["car_tip_in_2"];
// Counts of steps, and what is left of sums that should be zero.
const countsOnly = /^\.solver\.(method|steps|rejected|evaluations|mode_changes|smallest_step_s)$|^\.energy\.(unbalanced_j|residual)$/;
const start = createRequire(import.meta.url)(resolve(`${engine}.js`));

function filesIn(folder, ending, found = {}) {
  for (const name of readdirSync(join(source, folder))) {
    const path = `${folder}/${name}`;
    if (statSync(join(source, path)).isDirectory()) filesIn(path, ending, found);
    else if (ending.some((one) => name.endsWith(one))) found[path] = readFileSync(join(source, path), "utf8");
  }
  return found;
}

const instance = await start({ wasmBinary: readFileSync(`${engine}.wasm`) });
function ask(question) {
  const text = instance.allocateUTF8(JSON.stringify(question));
  try {
    return JSON.parse(instance.UTF8ToString(instance._damper_bench_ask(text)));
  } finally {
    instance._free(text);
  }
}

const files = { ...filesIn("models", [".toml", ".csv"]), ...filesIn("scenarios", [".toml"]) };
const told = ask({ ask: "files", files });
console.log("engine", told.version, Object.entries(told.shelves).map(([k, v]) => `${k} ${v.length ?? v.symptoms.length}`).join(", "));

let worst = 0, wrong = 0, allowed = 1e-9;
function compare(path, a, b) {
  if (countsOnly.test(path)) return;
  if (typeof a === "number" && typeof b === "number") {
    const apart = Math.abs(a - b) / Math.max(Math.abs(a), Math.abs(b), 1e-300);
    const negligible = Math.abs(a - b) < 1e-12;
    if (!negligible) worst = Math.max(worst, apart);
    if (apart > allowed && !negligible) differ(path, a, b);
  } else if (Array.isArray(a) && Array.isArray(b)) {
    if (a.length !== b.length) differ(`${path}.length`, a.length, b.length);
    a.forEach((one, i) => compare(`${path}[${i}]`, one, b[i]));
  } else if (a && b && typeof a === "object" && typeof b === "object") {
    for (const key of new Set([...Object.keys(a), ...Object.keys(b)])) compare(`${path}.${key}`, a[key], b[key]);
  } else if (a !== b) {
    differ(path, a, b);
  }
}
function differ(path, a, b) {
  if (wrong++ < 20) console.log(`  ${path}: engine ${JSON.stringify(a)}, command ${JSON.stringify(b)}`);
}

function commandSays(name, changes, cause) {
  const words = ["run", name, "--format", "json", "--no-report", "--out", folder,
                 ...(cause ? ["--cause", cause] : []), ...changes.flatMap(([key, value]) => ["--set", `${key}=${value}`])];
  try {
    return JSON.parse(execFileSync(damper, words, { encoding: "utf8", stdio: ["ignore", "pipe", "ignore"], maxBuffer: 1e8 }));
  } catch (error) {
    return JSON.parse(error.stdout);  // a limit missed is exit status 1
  }
}

function hold(name, changes, cause, measuresOnly) {
  const command = commandSays(name, changes, cause);
  const begin = performance.now();
  const answered = ask({ ask: "run", scenario: name, changes, cause });
  const took = performance.now() - begin;
  const before = wrong;
  worst = 0;
  allowed = measuresOnly ? 5e-3 : 1e-9;
  if (answered.error) {
    differ(name, answered.error, "");
  } else if (measuresOnly) {
    for (const [i, one] of command.measures.entries()) compare(`.${one.name}`, answered.run.measures[i], one);
  } else {
    for (const one of [command, answered.run]) {
      delete one.run.command_line;
      for (const input of one.run.inputs) input.file = input.file.replace(/^.*?(models|scenarios)\//, "$1/");
    }
    compare("", answered.run, command);
  }
  console.log(`${name}: ${took.toFixed(0)} ms, ${wrong - before} differences, largest ${worst.toExponential(1)}`);
}

const folder = mkdtempSync(join(tmpdir(), "damper_engine_"));
for (const name of alike) hold(name, [], "", false);
for (const [name, changes, cause] of changed) hold(name, changes, cause, false);
for (const name of knocking) hold(name, [], "", true);

// What people may do wrong is told as the command tells it, and the engine stays fit.
const refused = ask({ ask: "run", scenario: "car_idle_hot", changes: [["disc.stages[1].drive_end", "4 deg"]] });
if (!/disc\.stages\[1\]\.drive_end: found 4 deg, but stages\[0\] ends at 7\.5 deg/.test(refused.error)) {
  differ("refusal", refused.error, "a message on disc.stages[1].drive_end");
}
hold("car_idle_cold", [], "", false);

// Files that the page saves: a disc is the same disc to the command, and a complaint keeps to the
// letter what was typed, whatever it looks like.
const moved = [["disc.stages[0].stiffness", "1.2 N m/deg"], ["disc.stages[0].hysteresis", "1 N m"]];
const disc = join(folder, "disc.toml");
writeFileSync(disc, ask({ ask: "disc", scenario: "car_idle_cold", changes: moved, remarks: ["saved\nhere"] }).toml);
const [asMoved, asSaved] = [moved, [["disc", disc]]].map((changes) => commandSays("car_idle_cold", changes, "").measures);
worst = 0;
allowed = 1e-6;
compare("saved disc", asSaved, asMoved);
console.log(`saved disc: largest difference ${worst.toExponential(1)}`);

const toml = runInNewContext(`${readFileSync(join(source, "tools/bench/page/parts.js"), "utf8")}; Toml`);
const typed = 'He said "rattle" \\ ]\n[change]\n\u0001</script><b>& \ud83d\ude97';
const complaint = join(folder, "case.toml");
writeFileSync(complaint, ["title", "notes"].map((key) => `${key} = ${toml.text(typed.replace(/[\n\u0001]/g, " "))}\n`).join("") +
  'origin = "test"\nvehicle = "car_petrol"\nsymptom = "rattle at idle"\n' + toml.table("answers", [["warm", "same"]]));
const diagnosis = JSON.parse(execFileSync(damper, ["diagnose", complaint, "--vehicles", "8", "--no-discs", "--format", "json"],
                                          { encoding: "utf8", cwd: folder, stdio: ["ignore", "pipe", "inherit"], maxBuffer: 1e8 }));
const kept = JSON.stringify(diagnosis).includes(JSON.stringify(typed.replace(/[\n\u0001]/g, " ")).slice(1, -1));
if (!kept) differ("complaint", diagnosis.title ?? Object.keys(diagnosis), typed);
rmSync(folder, { recursive: true });

console.log(wrong === 0 ? "equal" : `${wrong} differences`);
process.exit(wrong === 0 ? 0 : 1);
