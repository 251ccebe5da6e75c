// SPDX-License-Identifier: MIT
// Engines in workers. A lane answers only the newest question of each topic: what a slider has
// passed by meanwhile is dropped.
"use strict";

const Engine = (() => {
  const text = (id) => document.getElementById(id).textContent;

  function bytesOf(base64) {
    const raw = atob(base64.trim());
    const bytes = new Uint8Array(raw.length);
    for (let i = 0; i < raw.length; i++) bytes[i] = raw.charCodeAt(i);
    return bytes;
  }

  async function unpacked(bytes) {
    const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
    return new Response(stream).arrayBuffer();
  }

  class Lane {
    constructor() {
      const script = new Blob([text("engine-script"), "\n", text("worker-script")],
                              { type: "text/javascript" });
      const address = URL.createObjectURL(script);
      this.worker = new Worker(address);
      this.waiting = new Map();
      this.busy = null;
      this.worker.onmessage = ({ data }) => this.done(data);
      this.worker.onerror = (event) => this.done({ answered: { error: event.message || "" } });
    }

    // The answer, or null if a newer question of this topic took its place.
    ask(topic, question) {
      const before = this.waiting.get(topic);
      if (before) before.resolve(null);
      return new Promise((resolve) => {
        this.waiting.delete(topic);
        this.waiting.set(topic, { question, resolve });
        this.next();
      });
    }

    next() {
      if (this.busy || this.waiting.size === 0) return;
      const [topic, one] = this.waiting.entries().next().value;
      this.waiting.delete(topic);
      this.busy = one;
      this.worker.postMessage({ question: one.question });
    }

    done({ answered }) {
      const one = this.busy;
      this.busy = null;
      if (one) one.resolve(answered);
      this.next();
    }
  }

  // Two lanes: what follows the slider, and what may come a moment later.
  async function start() {
    const wasm = await unpacked(bytesOf(text("engine-wasm")));
    const files = JSON.parse(text("files"));
    const lanes = { quick: new Lane(), slow: new Lane() };
    const question = { ask: "start", wasm, files };
    const [told] = await Promise.all([lanes.quick.ask("start", question),
                                      lanes.slow.ask("start", question)]);
    if (told.error) throw new Error(told.error);
    return { lanes, told };
  }

  return { start };
})();
