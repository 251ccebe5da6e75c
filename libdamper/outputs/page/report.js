// SPDX-License-Identifier: MIT
// Puts a live chart in front of each still picture: zoom by dragging, a reading line, curves that
// can be switched off. Without this script the page stays complete.
"use strict";
(() => {
  const root = document.documentElement;
  const tone = (number) => getComputedStyle(root).getPropertyValue(`--tone-${number}`).trim();
  const colour = (name) => getComputedStyle(root).getPropertyValue(`--${name}`).trim();
  const timeCharts = [];
  let following = false;

  // 32-bit little-endian floats in base 64. A value that is not a number becomes a gap.
  function floats(script) {
    const raw = atob(script.textContent.trim());
    const bytes = new Uint8Array(raw.length);
    for (let i = 0; i < raw.length; i++) bytes[i] = raw.charCodeAt(i);
    const view = new DataView(bytes.buffer);
    const values = new Array(raw.length / 4);
    for (let i = 0; i < values.length; i++) {
      const value = view.getFloat32(4 * i, true);
      values[i] = Number.isFinite(value) ? value : null;
    }
    return values;
  }

  function element(tag, className, text) {
    const made = document.createElement(tag);
    if (className) made.className = className;
    if (text) made.textContent = text;
    return made;
  }

  function button(label, act, title) {
    const made = element("button", "", label);
    made.type = "button";
    if (title) made.setAttribute("aria-label", title);
    made.addEventListener("click", act);
    return made;
  }

  const number = (value) => value === null || value === undefined ? "no value"
    : Math.abs(value) >= 1e-4 && Math.abs(value) < 1e7 || value === 0
      ? String(Number(value.toPrecision(5))) : value.toExponential(3);
  const withUnits = (value, units) => number(value) + (units === "°" ? "°" : units ? " " + units : "");

  // What the page says about one chart.
  function described(figure) {
    const data = figure.dataset;
    const curves = [...figure.querySelectorAll('script[data-role="y"]')].map((script) => ({
      label: script.dataset.label, stroke: script.dataset.stroke,
      tone: script.dataset.tone, y: floats(script)}));
    const ownX = [...figure.querySelectorAll('script[data-role="x"]')].map(floats);
    const table = figure.dataset.kind === "path" ? figure.parentElement.querySelector("tbody") : null;
    const marks = table ? [...table.rows].map((row) => ({
      label: row.cells[0].textContent, x: Number(row.cells[1].textContent),
      y: Number(row.cells[2].textContent)})) : [];
    return {
      figure, kind: data.kind, curves, ownX, marks, xLabel: data.xLabel, xUnits: data.xUnits,
      yLabel: data.yLabel, yUnits: data.yUnits, logX: !!data.logX, logY: !!data.logY,
      settled: Number(data.settled || 0), closeUp: data.closeUp ? data.closeUp.split(" ").map(Number) : null,
      x: data.axis ? floats(document.getElementById(data.axis)) : null};
  }

  function extent(lists, share) {
    let low = Infinity, high = -Infinity;
    for (const list of lists) for (const value of list) {
      if (value === null) continue;
      if (value < low) low = value;
      if (value > high) high = value;
    }
    if (low > high) return [0, 1];
    const margin = high > low ? share * (high - low) : Math.max(0.1 * Math.abs(high), 1e-6);
    return [low - margin, high + margin];
  }

  // The same on an axis with decades of equal length.
  function logExtent(lists, share) {
    const logs = lists.map((list) => list.map((v) => (v !== null && v > 0 ? Math.log10(v) : null)));
    return extent(logs, share).map((power) => 10 ** power);
  }

  function wholeRange(chart) {
    if (chart.kind === "path") {
      return {x: extent([...chart.ownX, chart.marks.map((m) => m.x)], 0.06),
        y: extent([...chart.curves.map((c) => c.y), chart.marks.map((m) => m.y)], 0.06)};
    }
    const bars = chart.kind === "bars";
    const y = (chart.logY ? logExtent : extent)(chart.curves.map((c) => c.y), 0.06);
    const x = (chart.logX ? logExtent : extent)([chart.x], bars ? 0.05 : 0);
    return {x, y: bars ? [0, y[1]] : y};
  }

  // A curve that may go back and forth.
  function trace(plot, index) {
    const [xs, ys] = plot.data[index];
    const path = new Path2D();
    let down = false;
    for (let i = 0; i < xs.length; i++) {
      if (xs[i] === null || ys[i] === null) { down = false; continue; }
      const x = plot.valToPos(xs[i], "x", true), y = plot.valToPos(ys[i], "y", true);
      if (down) path.lineTo(x, y); else path.moveTo(x, y);
      down = true;
    }
    const box = plot.bbox, clip = new Path2D();
    clip.rect(box.left, box.top, box.width, box.height);
    return {stroke: path, fill: null, clip, band: null, gaps: null, flags: 0};
  }

  function drawMarks(plot, chart) {
    const pen = plot.ctx, box = plot.bbox, scale = devicePixelRatio;
    pen.save();
    pen.font = `${12 * scale}px sans-serif`;
    pen.lineWidth = 1.5 * scale;
    const taken = [];  // of the labels drawn so far
    for (const mark of chart.marks) {
      const x = plot.valToPos(mark.x, "x", true), y = plot.valToPos(mark.y, "y", true);
      if (x < box.left || x > box.left + box.width || y < box.top || y > box.top + box.height) continue;
      pen.strokeStyle = pen.fillStyle = colour("ink");
      pen.beginPath();
      pen.arc(x, y, 4 * scale, 0, 2 * Math.PI);
      pen.stroke();
      if (plot.width < 560) continue;  // no room: the table below names the corners
      const toLeft = x > box.left + 0.6 * box.width;
      pen.textAlign = toLeft ? "right" : "left";
      const wide = pen.measureText(mark.label).width, line = 14 * scale;
      const from = toLeft ? x - 8 * scale - wide : x + 8 * scale;
      let base = y + (toLeft ? -6 : 15) * scale;
      const hit = () => taken.some((t) => from < t.to && t.from < from + wide && Math.abs(base - t.base) < line);
      while (hit()) base += toLeft ? -line : line;
      taken.push({from, to: from + wide, base});
      pen.fillText(mark.label, x + (toLeft ? -8 : 8) * scale, base);
    }
    pen.restore();
  }

  // The time that is not measured.
  function shade(plot, chart) {
    const box = plot.bbox, end = Math.min(plot.valToPos(chart.settled, "x", true), box.left + box.width);
    if (!chart.settled || end <= box.left) return;
    plot.ctx.fillStyle = colour("ground");
    plot.ctx.fillRect(box.left, box.top, end - box.left, box.height);
  }

  // A logarithmic axis also marks its end, wherever that is.
  const round = (v) => v > 0 && Number(v.toPrecision(6)) === Number(v.toPrecision(1));

  function options(chart, place) {
    const axis = (label, units) => ({
      label: units ? `${label} in ${units}` : label, stroke: colour("ink"), labelSize: 22,
      grid: {stroke: colour("rule"), width: 1}, ticks: {stroke: colour("rule"), width: 1},
      values: (u, at) => at.map((v) => (label === chart.xLabel ? chart.logX : chart.logY) && !round(v)
        || v === null ? "" : String(Number(v.toPrecision(6)))),
      size: label === chart.yLabel && label !== chart.xLabel ? 62 : 40});
    const bars = chart.kind === "bars", path = chart.kind === "path";
    const series = chart.curves.map((curve, i) => ({
      label: curve.label, stroke: tone(curve.tone), fill: bars ? tone(curve.tone) : undefined,
      width: curve.stroke === "heavy" ? 2.5 : bars ? 0 : 1.3,
      dash: curve.stroke === "dashed" ? [6, 4] : undefined, points: {show: false},
      facets: path ? [{scale: "x", auto: true}, {scale: "y", auto: true}] : undefined,
      paths: path ? trace
        : bars ? uPlot.paths.bars({size: [0.38, 30], align: chart.curves.length > 1 ? 2 * i - 1 : 0})
          : undefined}));
    return {
      mode: path ? 2 : 1, width: place.clientWidth, height: place.clientWidth < 560 ? 260 : 340,
      scales: {x: {time: false, distr: chart.logX ? 3 : 1, range: (u, low, high) => [low, high]},
        y: {distr: chart.logY ? 3 : 1, range: (u, low, high) => chart.zoomed || path ? [low, high] : chart.whole.y}},
      axes: [axis(chart.xLabel, chart.xUnits), axis(chart.yLabel, chart.yUnits)],
      series: path ? [null, ...series] : [{}, ...series], legend: {show: false},
      cursor: {drag: {x: true, y: path, uni: 15}, points: {show: !path},
        dataIdx: path ? () => null : undefined},
      hooks: {setCursor: [(u) => read(chart, u)], setScale: [(u, key) => follow(chart, u, key)],
        drawClear: [(u) => shade(u, chart)], draw: [(u) => drawMarks(u, chart)],
        init: [(u) => u.over.addEventListener("dblclick", () => show(chart, chart.whole))]}};
  }

  function read(chart, plot) {
    const {left, top, idx} = plot.cursor;
    if (!chart.output || left === undefined || left < 0) return;
    let text = "";
    if (chart.kind === "path") {
      text = `${chart.xLabel} ${withUnits(plot.posToVal(left, "x"), chart.xUnits)} · `
        + `${chart.yLabel} ${withUnits(plot.posToVal(top, "y"), chart.yUnits)}`;
    } else if (idx !== null && idx !== undefined) {
      text = [`${chart.xLabel} ${withUnits(chart.x[idx], chart.xUnits)}`,
        ...chart.curves.filter((c, i) => plot.series[i + 1].show)
          .map((c) => `${c.label} ${withUnits(c.y[idx], chart.yUnits)}`)].join(" · ");
    }
    chart.output.textContent = text;
  }

  // All charts over time show the same stretch of it.
  function follow(chart, plot, key) {
    if (key !== "x" || chart.kind !== "time" || following) return;
    following = true;
    for (const other of timeCharts) {
      if (other !== chart && other.plot) other.plot.setScale("x", plot.scales.x);
    }
    following = false;
  }

  function show(chart, range) {
    chart.plot.batch(() => {
      chart.plot.setScale("x", {min: range.x[0], max: range.x[1]});
      chart.plot.setScale("y", {min: range.y[0], max: range.y[1]});
    });
  }

  // What is seen first: of a loop the part that the run travelled.
  function opening(chart) {
    if (!chart.closeUp) return chart.whole;
    const [a, b, c, d] = chart.closeUp;
    return {x: [a, b], y: [c, d]};
  }

  // factor < 1 goes closer; shift moves by a share of what is seen.
  function move(chart, factor, shift) {
    const to = chart.logX ? Math.log10 : (v) => v, back = chart.logX ? (v) => 10 ** v : (v) => v;
    const [min, max] = [chart.plot.scales.x.min, chart.plot.scales.x.max].map(to);
    const [low, high] = chart.whole.x.map(to);
    const half = Math.min(0.5 * (max - min) * factor, 0.5 * (high - low));
    const middle = Math.min(Math.max(0.5 * (min + max) + shift * (max - min), low + half), high - half);
    chart.plot.setScale("x", {min: back(middle - half), max: back(middle + half)});
  }

  function keys(chart, place, event) {
    const plot = chart.plot, width = plot.over.clientWidth;
    const at = plot.cursor.left >= 0 ? plot.cursor.left : 0.5 * width;
    const top = plot.cursor.top >= 0 ? plot.cursor.top : 0.5 * plot.over.clientHeight;
    const step = event.shiftKey ? 20 : 2;
    const acts = {
      ArrowLeft: () => plot.setCursor({left: Math.max(at - step, 0), top}),
      ArrowRight: () => plot.setCursor({left: Math.min(at + step, width), top}),
      "+": () => move(chart, 0.5, 0), "-": () => move(chart, 2, 0), "0": () => show(chart, chart.whole)};
    if (!acts[event.key]) return;
    acts[event.key]();
    event.preventDefault();
  }

  function legend(chart, tools) {
    chart.curves.forEach((curve, i) => {
      const made = button("", () => {
        const shown = !chart.plot.series[i + 1].show;
        chart.plot.setSeries(i + 1, {show: shown});
        made.setAttribute("aria-pressed", String(shown));
      });
      made.setAttribute("aria-pressed", "true");
      made.append(element("span", `key ${curve.stroke} tone-${curve.tone}`), curve.label);
      tools.append(made);
    });
  }

  function build(figure) {
    const chart = described(figure);
    chart.whole = wholeRange(chart);
    const live = element("div", "live"), place = element("div"), tools = element("div", "tools");
    const zoom = element("div", "tools");
    chart.output = element("output");
    place.tabIndex = 0;
    place.setAttribute("role", "group");
    const title = figure.querySelector("figcaption").textContent;
    place.setAttribute("aria-label", `Chart: ${title}. Left and right arrow move the reading line, `
      + "plus and minus zoom, 0 shows all.");
    place.setAttribute("aria-describedby", `${figure.id}-reading`);
    place.addEventListener("keydown", (event) => keys(chart, place, event));
    legend(chart, tools);
    zoom.append(button("Closer", () => move(chart, 0.5, 0)), button("Wider", () => move(chart, 2, 0)),
      button("◀", () => move(chart, 1, -0.5), "Move left"),
      button("▶", () => move(chart, 1, 0.5), "Move right"),
      button("Show all", () => show(chart, chart.whole)));
    if (chart.closeUp) {
      zoom.append(button("Show part travelled", () => show(chart, opening(chart))));
    }
    live.append(tools, place, chart.output, zoom);
    figure.querySelector("figcaption").after(live);
    chart.draw = () => {
      if (chart.plot) chart.plot.destroy();
      const data = chart.kind === "path"
        ? [null, ...chart.curves.map((curve, i) => [chart.ownX[i], curve.y])]
        : [chart.x, ...chart.curves.map((curve) => curve.y)];
      chart.plot = new uPlot(options(chart, place), data, place);
      show(chart, opening(chart));
    };
    chart.draw();
    figure.classList.add("drawn");
    if (chart.kind === "time") timeCharts.push(chart);
    new ResizeObserver(() => {
      if (place.clientWidth > 0 && place.clientWidth !== chart.plot.width) {
        chart.plot.setSize({width: place.clientWidth, height: place.clientWidth < 560 ? 260 : 340});
      }
    }).observe(place);
    return chart;
  }

  const charts = [...document.querySelectorAll("figure.chart")].map(build);
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => {
    for (const chart of charts) chart.draw();
  });
})();
