// SPDX-License-Identifier: MIT
// Runs in a worker, behind the engine's own script. One question at a time; an engine that broke
// down is replaced before the next one.
"use strict";

const bench = { engine: null, wasm: null, files: null };

function ask(question) {
  const text = bench.engine.allocateUTF8(JSON.stringify(question));
  try {
    return JSON.parse(bench.engine.UTF8ToString(bench.engine._damper_bench_ask(text)));
  } finally {
    bench.engine._free(text);
  }
}

async function start() {
  bench.engine = await damper_engine({ wasmBinary: bench.wasm });
  return ask({ ask: "files", files: bench.files });
}

async function answer(question) {
  if (question.ask === "start") {
    bench.wasm = question.wasm;
    bench.files = question.files;
    return start();
  }
  try {
    if (!bench.engine) await start();
    return ask(question);
  } catch (broken) {
    bench.engine = null;
    return { error: "The calculation broke down (" + String(broken) + ")." };
  }
}

onmessage = async ({ data }) => {
  const begin = performance.now();
  const answered = await answer(data.question);
  postMessage({ answered, took: performance.now() - begin });
};
