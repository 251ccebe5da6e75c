// SPDX-License-Identifier: MIT
// The sliders of disc A: stiffness, end and friction of each stage, each with a number beside it.
"use strict";

const Sliders = (() => {
  const { element } = Parts;
  const steps = 200;
  const digits = (value) => Number(value.toPrecision(4));

  // What can be moved. `span` is how far, from the value it starts at; `log` for even factors.
  const kinds = [
    { key: "stiffness", partner: "coast_stiffness", label: "Stiffness", unit: "N m/deg", shown: "N m/°",
      log: true, span: (v) => [v / 5, v * 5] },
    { key: "drive_end", partner: "coast_end", label: "Ends at", unit: "deg", shown: "°", log: false,
      span: (v) => [0.3 * v, 1.7 * v] },
    { key: "hysteresis", partner: null, label: "Friction, full width", unit: "N m", shown: "N m", log: false,
      span: (v) => [0, Math.max(4 * v, 1)] },
  ];

  let began = [], now = [], rows = [], told = () => {};

  // A stage ends after the one inside it and before the one around it.
  function within(stage, kind, value) {
    if (kind.key !== "drive_end") return value;
    const gap = 0.2;
    const low = stage > 0 ? now[stage - 1].drive_end + gap : gap;
    const high = stage + 1 < now.length ? now[stage + 1].drive_end - gap : Infinity;
    return Math.min(Math.max(value, low), high);
  }

  function place(kind, value, [low, high]) {
    const share = kind.log ? Math.log(value / low) / Math.log(high / low) : (value - low) / (high - low);
    return Math.round(steps * Math.min(Math.max(share, 0), 1));
  }

  function valueAt(kind, at, [low, high]) {
    const share = at / steps;
    return digits(kind.log ? low * (high / low) ** share : low + (high - low) * share);
  }

  const changed = (stage, kind) => now[stage][kind.key] !== began[stage][kind.key];

  function show(row) {
    const value = now[row.stage][row.kind.key];
    row.slider.value = place(row.kind, value, row.range);
    row.slider.setAttribute("aria-valuetext", `${value} ${row.kind.shown}`);
    if (document.activeElement !== row.number) row.number.value = value;
    row.box.classList.toggle("changed", changed(row.stage, row.kind));
  }

  function take(row, value) {
    if (!Number.isFinite(value) || value < 0 || (value === 0 && row.kind.key !== "hysteresis")) return;
    now[row.stage][row.kind.key] = digits(within(row.stage, row.kind, value));
    show(row);
    told();
  }

  function makeRow(stage, kind) {
    const value = now[stage][kind.key];
    const id = `${kind.key}-${stage}`;
    const box = element("div", "slider");
    const label = element("label", "", kind.label);
    label.htmlFor = id;
    const slider = element("input");
    Object.assign(slider, { type: "range", id, min: 0, max: steps, step: 1 });
    const number = element("input");
    Object.assign(number, { type: "number", step: "any", min: 0, id: `${id}-number` });
    number.setAttribute("aria-label", `${kind.label} of stage ${began[stage].name} in ${kind.shown}`);
    const row = { stage, kind, box, slider, number, range: kind.span(value) };
    slider.addEventListener("input", () => take(row, valueAt(kind, Number(slider.value), row.range)));
    number.addEventListener("input", () => { if (number.value !== "") take(row, Number(number.value)); });
    number.addEventListener("blur", () => show(row));
    box.append(label, slider, number, element("span", "unit", kind.shown));
    return row;
  }

  // Stages as the engine tells them. `tell` is called after every move. With `keep`, moves stay if
  // they began at the same disc.
  function start(stages, tell, keep) {
    told = tell;
    const before = JSON.stringify(began);
    began = stages.map((one) => ({ ...one }));
    for (const one of began) for (const kind of kinds) one[kind.key] = digits(one[kind.key]);
    if (keep && JSON.stringify(began) === before) return;
    now = began.map((one) => ({ ...one }));
    rows = [];
    document.getElementById("stages").replaceChildren(...stages.map((one, stage) => {
      const group = element("fieldset");
      group.append(element("legend", "", `Stage ${stage + 1}: ${one.name}`));
      for (const kind of kinds) {
        const row = makeRow(stage, kind);
        rows.push(row);
        group.append(row.box);
        show(row);
      }
      return group;
    }));
  }

  // As the command line takes them: key and value each, only what was moved.
  function changes() {
    const all = [];
    const put = (stage, key, value, unit) => all.push([`disc.stages[${stage}].${key}`,
                                                       `${Number(value.toPrecision(6))} ${unit}`]);
    now.forEach((one, stage) => {
      for (const kind of kinds) {
        if (!changed(stage, kind)) continue;
        put(stage, kind.key, one[kind.key], kind.unit);
        if (kind.partner === null || began[stage][kind.key] === 0) continue;
        put(stage, kind.partner, one[kind.partner] * one[kind.key] / began[stage][kind.key], kind.unit);
      }
    });
    return all;
  }

  return { start, changes };
})();
