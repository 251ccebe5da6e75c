// SPDX-License-Identifier: MIT
// Charts as SVG, made node by node: no text ever becomes markup.
"use strict";

const Charts = (() => {
  const space = "http://www.w3.org/2000/svg";
  const framed = (width, height) => ({ width, height, left: 74, right: width - 12, top: 14, bottom: height - 58 });
  const half = framed(470, 340), wide = framed(900, 360);

  function node(tag, attributes, text) {
    const made = document.createElementNS(space, tag);
    for (const [name, value] of Object.entries(attributes || {})) made.setAttribute(name, value);
    if (text !== undefined) made.textContent = text;
    return made;
  }

  let clips = 0;

  // Round numbers between two values, about `count` of them.
  function ticks(low, high, count) {
    const raw = (high - low) / count;
    const power = 10 ** Math.floor(Math.log10(raw));
    const step = [1, 2, 5, 10].map((one) => one * power).find((one) => one >= raw);
    const all = [];
    for (let i = Math.ceil(low / step - 1e-9); i * step <= high + 1e-9 * step; i++) all.push(i * step);
    return all;
  }

  const tickText = (value) => String(Number(value.toPrecision(6))).replace("-", "−");

  function range(lists, withZero) {
    let low = withZero ? 0 : Infinity, high = withZero ? 0 : -Infinity;
    for (const list of lists) {
      for (const value of list) {
        if (!Number.isFinite(value)) continue;
        low = Math.min(low, value);
        high = Math.max(high, value);
      }
    }
    if (low > high) return { low: 0, high: 1 };
    const margin = 0.04 * (high - low) || 1;
    return { low: withZero && low === 0 ? 0 : low - margin, high: high + margin };
  }

  // What a chart shows, empty, with its axes. `x` and `y` are {low, high, label}.
  class Chart {
    constructor(x, y, title, frame = half) {
      this.frame = frame;
      this.x = x;
      this.y = y;
      this.svg = node("svg", { viewBox: `0 0 ${frame.width} ${frame.height}`, role: "img",
                               "aria-label": title, class: frame === wide ? "chart wide" : "chart" });
      this.axes();
    }

    px(value) {
      const { frame } = this;
      return frame.left + (frame.right - frame.left) * (value - this.x.low) / (this.x.high - this.x.low);
    }

    py(value) {
      const { frame } = this;
      return frame.bottom - (frame.bottom - frame.top) * (value - this.y.low) / (this.y.high - this.y.low);
    }

    add(tag, attributes, text) {
      const made = node(tag, attributes, text);
      (this.inside || this.svg).append(made);
      return made;
    }

    // What is added from now on ends at the frame.
    clip() {
      const { frame } = this;
      const id = `frame-${++clips}`;
      const path = node("clipPath", { id });
      path.append(node("rect", { x: frame.left, y: frame.top, width: frame.right - frame.left,
                                 height: frame.bottom - frame.top }));
      const inside = this.add("g", { "clip-path": `url(#${id})` });
      this.svg.append(path);
      this.inside = inside;
    }

    axes() {
      const { frame } = this;
      for (const value of this.x.ticks || ticks(this.x.low, this.x.high, 7)) {
        const at = this.px(value).toFixed(1);
        this.add("line", { class: "grid", x1: at, x2: at, y1: frame.top, y2: frame.bottom });
        this.add("text", { x: at, y: frame.bottom + 20, "text-anchor": "middle" }, tickText(value));
      }
      for (const value of ticks(this.y.low, this.y.high, 6)) {
        const at = this.py(value).toFixed(1);
        this.add("line", { class: "grid", x1: frame.left, x2: frame.right, y1: at, y2: at });
        this.add("text", { x: frame.left - 6, y: Number(at) + 4, "text-anchor": "end" }, tickText(value));
      }
      if (this.y.low < 0 && this.y.high > 0) {
        const at = this.py(0).toFixed(1);
        this.add("line", { class: "zero", x1: frame.left, x2: frame.right, y1: at, y2: at });
      }
      const middle = (frame.top + frame.bottom) / 2;
      this.add("text", { class: "axis", x: (frame.left + frame.right) / 2, y: frame.height - 8,
                         "text-anchor": "middle" }, this.x.label);
      this.add("text", { class: "axis", x: 16, y: middle, "text-anchor": "middle",
                         transform: `rotate(-90 16 ${middle})` }, this.y.label);
    }

    curve(xs, ys, tone) {
      let path = "", drawing = false;
      for (let i = 0; i < xs.length; i++) {
        if (!Number.isFinite(ys[i])) { drawing = false; continue; }
        path += (drawing ? "L" : "M") + this.px(xs[i]).toFixed(1) + " " + this.py(ys[i]).toFixed(1);
        drawing = true;
      }
      this.add("path", { class: `curve ${tone}`, d: path });
    }

    // A zone from one x to another, over the whole height.
    zone(from, to, tone) {
      const { frame } = this;
      const left = Math.max(frame.left, this.px(from));
      const right = Math.min(frame.right, Math.max(this.px(to), left + 1.5));
      if (right <= left) return;
      this.add("rect", { class: `zone ${tone}`, x: left.toFixed(1), y: frame.top,
                         width: (right - left).toFixed(1), height: frame.bottom - frame.top });
    }

    mark(x, y, text) {
      this.add("circle", { class: "mark", cx: this.px(x).toFixed(1), cy: this.py(y).toFixed(1), r: 3 })
        .append(node("title", {}, text));
    }

    bar(x, width, value, tone) {
      const top = this.py(Math.max(value, 0));
      this.add("rect", { class: `bar ${tone}`, x: (this.px(x) - width / 2).toFixed(1), y: top.toFixed(1),
                         width: width.toFixed(1), height: Math.max(0, this.py(0) - top).toFixed(1) });
    }
  }

  // Where disc A works and the stage it begins with, with some room: [from, to] in degrees.
  function near(one) {
    const ends = one.loop.corners.map((corner) => corner.twist_deg);
    const inner = [Math.max(...ends.filter((end) => end < 0)), Math.min(...ends.filter((end) => end > 0))];
    const low = Math.min(inner[0], one.range ? one.range.low_deg : 0);
    const high = Math.max(inner[1], one.range ? one.range.high_deg : 0);
    const room = 0.12 * (high - low);
    return [Math.max(low - room, one.loop.twist_deg[0]), Math.min(high + room, one.loop.twist_deg.at(-1))];
  }

  // Torque over twist: loops of both discs, where the first works, its last swings. `close`: only
  // the part around that.
  function loop(a, b, close) {
    const loops = b ? [a.loop, b.loop] : [a.loop];
    const [from, to] = close ? near(a) : [-Infinity, Infinity];
    const inside = (one, list) => list.filter((_, i) => one.twist_deg[i] >= from && one.twist_deg[i] <= to);
    const chart = new Chart(
      { ...(close ? { low: from, high: to } : range(loops.map((one) => one.twist_deg))),
        label: "twist, engine ahead of gearbox [°]" },
      { ...range(loops.flatMap((one) => [inside(one, one.rising_N_m), inside(one, one.falling_N_m)])),
        label: "torque [N m]" },
      "Torque over twist of both discs, with the range in which each works");
    chart.clip();
    if (b && b.range) chart.zone(b.range.low_deg, b.range.high_deg, "b");
    if (a.range) chart.zone(a.range.low_deg, a.range.high_deg, "a");
    const both = (one, tone) => {
      chart.curve(one.twist_deg, one.rising_N_m, tone);
      chart.curve(one.twist_deg, one.falling_N_m, tone);
    };
    if (b) both(b.loop, "b");
    both(a.loop, "a");
    if (a.range) chart.curve(a.range.twist_deg, a.range.torque_N_m, "path");
    for (const corner of a.loop.corners) {
      if (corner.twist_deg < chart.x.low || corner.twist_deg > chart.x.high) continue;
      chart.mark(corner.twist_deg, corner.torque_N_m,
                 `${corner.name}: ${corner.twist_deg.toPrecision(3)}°, ${corner.torque_N_m.toPrecision(3)} N m`);
    }
    return chart.svg;
  }

  // Bars at each engine order: flywheel, then the gearbox input with each disc.
  function orders(a, b) {
    const groups = [["flywheel", a[0]], ["a", a[1]]];
    if (b && b[1]) groups.push(["b", b[1]]);
    const order = a[0].order;
    const chart = new Chart(
      { low: 0, high: order[order.length - 1] + 0.5, label: "engine order, beats per turn of the crankshaft",
        ticks: order.filter((one) => Number.isInteger(one)) },
      { ...range(groups.map(([, one]) => one.amplitude), true), label: `amplitude [${a[0].units}]` },
      "Angular acceleration at each engine order");
    const step = chart.px(0.5) - chart.px(0);
    const width = 0.8 * step / groups.length;
    groups.forEach(([tone, one], g) => {
      one.amplitude.forEach((value, i) => {
        const at = one.order[i] + 0.5 * (0.8 / groups.length) * (g - (groups.length - 1) / 2);
        chart.bar(at, width, value, tone);
      });
    });
    return chart.svg;
  }

  // Curves on one axis: [{x, y, tone}].
  function curves(list, xLabel, yLabel, title, frame = half) {
    const chart = new Chart({ ...range(list.map((one) => one.x)), label: xLabel },
                            { ...range(list.map((one) => one.y)), label: yLabel }, title, frame);
    for (const one of list) chart.curve(one.x, one.y, one.tone);
    return chart.svg;
  }

  // For a chart over the whole width of the results; a telephone has no room for more than half.
  const wideFrame = () => matchMedia("(max-width: 640px)").matches ? half : wide;

  return { loop, orders, curves, wideFrame };
})();
