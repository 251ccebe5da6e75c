// SPDX-License-Identifier: MIT
// The engine of the bench page against the command line: node engine_against_command.mjs
//     ENGINE (path without ending) DAMPER SOURCE SCENARIO…
// Runs each scenario both ways and compares all that the JSON text says. Numbers may differ by 1e-9
// of themselves, or of what is turned over; words must be the same.
import { execFileSync } from "node:child_process";
import { readFileSync, readdirSync, statSync } from "node:fs";
import { join, resolve } from "node:path";
import { createRequire } from "node:module";

const [engine, damper, source, ...scenarios] = process.argv.slice(2);
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
console.log("engine", told.version, Object.entries(told.shelves).map(([k, v]) => `${k} ${v.length}`).join(", "));

let worst = 0, wrong = 0;
function compare(path, a, b) {
  if (typeof a === "number" && typeof b === "number") {
    const apart = Math.abs(a - b) / Math.max(Math.abs(a), Math.abs(b), 1e-300);
    const negligible = Math.abs(a - b) < 1e-12;
    if (!negligible) worst = Math.max(worst, apart);
    if (apart > 1e-9 && !negligible) differ(path, a, b);
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

for (const name of scenarios) {
  let said;
  try {
    said = execFileSync(damper, ["run", name, "--format", "json", "--no-report", "--out",
                                 process.env.OUT || "/tmp/engine_out"], { encoding: "utf8", stdio: ["ignore", "pipe", "ignore"], maxBuffer: 1e8 });
  } catch (error) {
    said = error.stdout;  // a verdict of "bad" is exit status 1
  }
  const command = JSON.parse(said);
  const begin = performance.now();
  const answered = ask({ ask: "run", scenario: name, changes: [] });
  const took = performance.now() - begin;
  if (answered.error) {
    console.log(name, "ERROR", answered.error);
    wrong++;
    continue;
  }
  const before = wrong;
  worst = 0;
  for (const one of [command, answered.run]) {
    delete one.run.command_line;
    for (const input of one.run.inputs) input.file = input.file.replace(/^.*?(models|scenarios)\//, "$1/");
  }
  compare("", answered.run, command);
  console.log(`${name}: ${took.toFixed(0)} ms, ${wrong - before} differences, largest ${worst.toExponential(1)}`);
}
console.log(wrong === 0 ? "equal" : `${wrong} differences`);
process.exit(wrong === 0 ? 0 : 1);
