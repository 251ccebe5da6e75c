// SPDX-License-Identifier: MIT
// The page: what is chosen, what is asked of the engine, what is shown of its answers.
"use strict";

(async () => {
  const { element, fill, badge, save, fileName } = Parts;
  const at = (id) => document.getElementById(id);
  const pedalKinds = ["tip in", "back out"];
  const shown = { a: null, b: null, pedalA: null, pedalB: null };
  let lanes, shelves, kept = null, drawn = 0, sayLater = 0;

  const vehicle = () => shelves.vehicles.find((one) => one.name === at("vehicle").value);
  const nameOf = (list, name) => (list.find((one) => one.name === name) || { title: name }).title;

  // --- choices -------------------------------------------------------------------------------

  const scenariosOf = (name, pedal) => shelves.scenarios.filter((one) =>
    one.vehicle === name && pedalKinds.includes(one.kind) === pedal);

  function grouped(list, key) {
    const groups = new Map();
    for (const one of list) {
      if (!groups.has(one[key])) groups.set(one[key], []);
      groups.get(one[key]).push([one.name, one.title]);
    }
    return [...groups].map(([group, options]) => ({ group, options }));
  }

  // Discs whose name begins as the vehicle's does are made for it.
  function discChoices() {
    const family = vehicle().name.split("_").slice(0, -1).join("_") || vehicle().name;
    const first = vehicle().name.startsWith("car") ? "car" : vehicle().name.startsWith("van") ? "van" : family;
    const own = shelves.discs.filter((one) => one.name.startsWith(first + "_") ||
                                              one.name.startsWith(vehicle().name + "_"));
    const rest = shelves.discs.filter((one) => !own.includes(one));
    const pair = (one) => [one.name, one.title];
    return [{ group: "For this vehicle", options: own.map(pair) },
            { group: "Others", options: rest.map(pair) }].filter((one) => one.options.length > 0);
  }

  function fillOther() {
    const before = at("other").value;
    const entries = [["", "as fitted"], ...discChoices()];
    if (kept) entries.splice(1, 0, ["kept", `kept: ${kept.title}`]);
    fill(at("other"), entries);
    at("other").value = before;
    if (at("other").selectedIndex < 0) at("other").selectedIndex = 0;
  }

  function chooseVehicle() {
    const name = vehicle().name;
    const idleFirst = scenariosOf(name, false).sort((x, y) =>
      (y.name.endsWith("idle_hot") ? 1 : 0) - (x.name.endsWith("idle_hot") ? 1 : 0) ||
      (y.kind === "idle" ? 1 : 0) - (x.kind === "idle" ? 1 : 0));
    fill(at("situation"), grouped(idleFirst, "kind"));
    const pedal = scenariosOf(name, true).sort((x, y) => (y.kind === "tip in" ? 1 : 0) - (x.kind === "tip in" ? 1 : 0));
    fill(at("pedal"), pedal.length > 0 ? grouped(pedal, "kind") : [["", "none is described for this vehicle"]]);
    fill(at("base"), [["", "as fitted"], ...discChoices()]);
    kept = null;
    fillOther();
    return chooseBase(false);
  }

  // --- questions -----------------------------------------------------------------------------

  const cause = () => at("cause").value;
  const baseChanges = () => at("base").value ? [["disc", at("base").value]] : [];
  const changesOfA = () => [...baseChanges(), ...Sliders.changes()];
  function changesOfB() {
    const other = at("other").value;
    return other === "kept" ? kept.changes : other ? [["disc", other]] : [];
  }

  function tellTrouble(text) {
    at("trouble").hidden = !text;
    at("trouble").textContent = text || "";
  }

  async function ask(slot, lane, scenario, changes) {
    if (!scenario) {
      shown[slot] = null;
      return draw();
    }
    const about = `${scenario} ${cause()}`;
    const answered = await lanes[lane].ask(slot, { ask: "run", scenario, cause: cause(), changes });
    if (answered === null) return;
    shown[slot] = answered.error ? null : { ...answered, about };
    if (slot === "a" || answered.error) tellTrouble(answered.error);
    draw(slot);
  }

  const askA = () => [ask("a", "quick", at("situation").value, changesOfA()),
                      ask("pedalA", "slow", at("pedal").value, changesOfA())];
  const askB = () => [ask("b", "quick", at("situation").value, changesOfB()),
                      ask("pedalB", "slow", at("pedal").value, changesOfB())];

  function moved() {
    at("disc-saved").replaceChildren();
    command();
    askA();
  }

  async function chooseBase(keep) {
    const disc = await lanes.quick.ask("disc", { ask: "disc", scenario: at("situation").value, cause: cause(),
                                                 changes: baseChanges() });
    if (disc === null) return;
    if (disc.error) return tellTrouble(disc.error);
    Sliders.start(disc.stages, moved, keep);
    command();
    await Promise.all([...askA(), ...askB()]);
  }

  // What the command line would be asked.
  function command() {
    const quoted = (text) => /^[\w.=-]+$/.test(text) ? text : `'${text}'`;
    const words = ["damper run", at("situation").value, ...(cause() ? ["--cause", cause()] : []),
                   ...changesOfA().flatMap(([key, value]) => ["--set", quoted(`${key}=${value}`)])];
    at("command").replaceChildren("On the command line: ", element("code", "", words.join(" ")));
  }

  // An answer about what is looked at now; one about the situation before is not held against it.
  const now = (slot) => {
    const about = `${at(slot.startsWith("pedal") ? "pedal" : "situation").value} ${cause()}`;
    return shown[slot] && shown[slot].about === about ? shown[slot] : null;
  };

  // --- what is shown -------------------------------------------------------------------------

  const titleA = () => `${at("base").value ? nameOf(shelves.discs, at("base").value) : "as fitted"}` +
    (Sliders.changes().length > 0 ? ", changed" : "");
  const titleB = () => at("other").selectedOptions[0].textContent;
  const tag = (letter) => element("span", `tag ${letter}`, letter.toUpperCase());

  function verdictCard(answered, letter, title) {
    const verdict = answered.run.verdict;
    const card = element("section", `verdict ${verdict.grade}`);
    const head = element("h2");
    head.append(tag(letter), badge(verdict.grade, answered.shown.word), element("span", "name", title));
    card.append(head, element("p", "headline", verdict.headline));
    return card;
  }

  function why(answered, letter) {
    const place = element("div");
    const head = element("h3");
    head.append(tag(letter));
    const reasons = element("ul");
    for (const reason of answered.shown.reasons) reasons.append(element("li", "", reason));
    place.append(head, reasons);
    return place;
  }

  function summary() {
    const group = (what, ...list) => {
      const words = element("span", "one");
      words.append(element("span", "small", what));
      for (const [answered, letter] of list) {
        if (answered) words.append(tag(letter), badge(answered.run.verdict.grade, answered.shown.word));
      }
      return words;
    };
    at("summary-words").replaceChildren(
      group("Situation", [now("a"), "a"], [now("b"), "b"]),
      ...(now("pedalA") ? [group("Pedal", [now("pedalA"), "a"], [now("pedalB"), "b"])] : []));
  }

  // Plain steps from here; `grade` is that of A in the situation.
  function next(grade) {
    const first = {
      good: "A is good here. Look at the other situations of this vehicle and at the pedal before you choose it: a disc that is quiet at idle may boom or jerk on the road.",
      watch: "A is not bad, but something is past its limit for good. The first row of the limits says what; move what the reasons name, or compare with another disc as B.",
      bad: "A misses a limit. The first row of the limits says which; move what the reasons name, or start from another disc. If no disc helps, the cause lies elsewhere: look at engine, gearbox drag and mounts first.",
    };
    const steps = [[first[grade]],
      ["A disc worth keeping: “Save disc”, then hold it against others in all situations with ", element("code", "", "damper compare"), "."],
      ["A vehicle with a complaint: write it down below and let ", element("code", "", "damper diagnose"), " rank the causes. Change no part on the word of this page alone."]];
    at("next").replaceChildren(...steps.map((parts) => {
      const step = element("li");
      step.append(...parts);
      return step;
    }));
  }

  function keys(place, list) {
    at(place).replaceChildren(...list.map(([tone, text]) => {
      const words = element("span");
      words.append(element("span", `key ${tone}`), text);
      return words;
    }));
  }

  function table(caption, headings, rows) {
    const made = element("table");
    made.append(element("caption", "", caption));
    const head = element("tr");
    for (const text of headings) {
      const cell = element("th", "", text);
      cell.scope = "col";
      head.append(cell);
    }
    const top = element("thead");
    top.append(head);
    const body = element("tbody");
    for (const cells of rows) {
      const row = element("tr");
      cells.forEach((cell, i) => {
        const place = element(i === 0 ? "th" : "td", i > 0 && typeof cell === "string" ? "number" : "");
        if (i === 0) place.scope = "row"; else place.dataset.heading = headings[i];
        place.append(cell);
        row.append(place);
      });
      body.append(row);
    }
    made.append(top, body);
    return made;
  }

  function limitTable(a, b, caption) {
    const other = new Map(b ? b.shown.judgements.map((one) => [one.measure, one]) : []);
    const cell = (one) => {
      const place = element("span");
      if (one) place.append(badge(one.grade, one.value)); else place.append("–");
      return place;
    };
    const rows = a.shown.judgements.map((one) => {
      const name = element("span");
      name.append(element("strong", "", one.name), element("span", "small sentence", ` ${one.judged}`));
      const limit = element("span", "", one.limit);
      limit.title = one.source;
      const second = other.get(one.measure);
      return [name, cell(one), one.margin, cell(second), second ? second.margin : "–", limit];
    });
    if (rows.length === 0) return element("p", "", "No limit applies here; nothing is judged.");
    return table(caption, ["Judged", "A", "Margin of A", "B", "Margin of B", "Limit"], rows);
  }

  function drawLoop(a, b) {
    at("loop").replaceChildren(Charts.loop(a.curves, b && b.curves, at("close").checked));
    keys("loop-keys", [["a", "A"], ...(b ? [["b", "B"]] : []), ["zone a", "where A works"], ["path", "its swings"]]);
    const range = a.curves.range;
    const text = (value) => `${value.toFixed(1)}°`.replace("-", "−");
    at("loop-reading").textContent = range
      ? `A works from ${text(range.low_deg)} to ${text(range.high_deg)}, ${text(range.mean_deg)} in the mean.` : "";
  }

  function drawBeats(a, b) {
    const own = [["a", "gearbox input with A"], ...(b ? [["b", "gearbox input with B"]] : [])];
    const withFlywheel = [["flywheel", "flywheel"], ...own];
    let reading = "";
    if (a.curves.orders.length > 1) {
      at("beats").replaceChildren(Charts.orders(a.curves.orders, b && b.curves.orders.length > 1 ? b.curves.orders : null));
      keys("beats-keys", withFlywheel);
      reading = "Each group is one beat of the engine. Short bars of A or B beside the flywheel's mean that the disc keeps this beat from the gears.";
    } else if (a.curves.course) {
      const list = [{ x: a.curves.course.speed_rpm, y: a.curves.course.flywheel, tone: "flywheel" }];
      if (b && b.curves.course) list.push({ x: b.curves.course.speed_rpm, y: b.curves.course.input_shaft, tone: "b" });
      list.push({ x: a.curves.course.speed_rpm, y: a.curves.course.input_shaft, tone: "a" });
      at("beats").replaceChildren(Charts.curves(list, "engine speed [rpm]", "amplitude [rad/s²]",
                                                "Angular acceleration at the firing order over engine speed"));
      keys("beats-keys", withFlywheel);
      reading = "The engine's main beat over its speed. Below the flywheel's curve the disc keeps the beat from the gears; above it, the disc makes it worse.";
    } else {
      const list = [{ ...a.curves.flywheel_speed, tone: "flywheel" }];
      if (b) list.push({ ...b.curves.input_shaft_speed, tone: "b" });
      list.push({ ...a.curves.input_shaft_speed, tone: "a" });
      at("beats").replaceChildren(Charts.curves(list, "time [s]", `speed [${a.curves.flywheel_speed.units}]`,
                                                "Speed of flywheel and gearbox input over time"));
      keys("beats-keys", withFlywheel);
      reading = "Where the gearbox input swings, the loose gears swing with it.";
    }
    at("beats-reading").textContent = reading;
  }

  function drawPedal(a, b) {
    at("pedal-section").hidden = !a;
    if (!a) return;
    const line = (answered, letter) => {
      const words = element("p");
      words.append(tag(letter), badge(answered.run.verdict.grade, answered.shown.word),
                   element("span", "", answered.run.verdict.headline));
      return words;
    };
    at("pedal-verdicts").replaceChildren(line(a, "a"), ...(b ? [line(b, "b")] : []));
    const felt = (one) => one.curves.vehicle_acceleration;
    const list = [...(b && felt(b) ? [{ ...felt(b), tone: "b" }] : []), { ...felt(a), tone: "a" }];
    at("pedal-curve").replaceChildren(Charts.curves(list, "time [s]", `acceleration [${felt(a).units}]`,
                                                    "Acceleration of the vehicle over time with both discs", Charts.wideFrame()));
    keys("pedal-keys", [["a", "vehicle with A"], ...(b ? [["b", "vehicle with B"]] : [])]);
    at("pedal-limits").replaceChildren(limitTable(a, b, "Change of the pedal, smallest margin of A first"));
  }

  function drawFigures(a, b) {
    const other = new Map(b ? b.shown.measures.map((one) => [one.measure, one.value]) : []);
    at("figures").replaceChildren(table("All that is measured", ["Figure", "A", "B", "What it is"],
      a.shown.measures.map((one) => [one.name, one.value, other.get(one.measure) || "–", element("span", "small", one.definition)])));
  }

  function say(a) {
    clearTimeout(sayLater);
    sayLater = setTimeout(() => { at("said").textContent = `Disc A: ${a.shown.word}. ${a.run.verdict.headline}`; }, 700);
  }

  function draw(slot) {
    const [a, b, pedalA, pedalB] = ["a", "b", "pedalA", "pedalB"].map(now);
    summary();
    if (slot === "pedalA" || slot === "pedalB" || slot === undefined) drawPedal(pedalA, pedalB);
    if (a && (slot === "a" || slot === "b" || slot === undefined)) {
      at("verdicts").replaceChildren(verdictCard(a, "a", titleA()), ...(b ? [verdictCard(b, "b", titleB())] : []));
      at("reasons").replaceChildren(why(a, "a"), ...(b ? [why(b, "b")] : []));
      drawLoop(a, b);
      drawBeats(a, b);
      at("limits").replaceChildren(limitTable(a, b, "What is judged, smallest margin of A first"));
      drawFigures(a, b);
      next(a.run.verdict.grade);
      const cautions = [...new Set([a, pedalA].filter(Boolean).flatMap((one) => one.run.verdict.cautions))];
      at("cautions").replaceChildren(...cautions.map((one) => element("li", "", one)));
      if (slot === "a") say(a);
    }
    if (slot === "a") at("results").dataset.drawn = String(++drawn);
    if (slot === "pedalA") at("pedal-section").dataset.drawn = String(drawn);
  }

  // --- files ---------------------------------------------------------------------------------

  // A browser may give another name, if there is a file of this one.
  function tellSaved(place, name, command) {
    at(place).replaceChildren(`Saved as ${name} in the folder for downloads. There, on the command line: `,
                              element("code", "", command));
  }

  async function saveDisc() {
    const disc = await lanes.slow.ask("save", {
      ask: "disc", scenario: at("situation").value, cause: cause(), changes: changesOfA(),
      remarks: ["Saved from the bench page.", `Begun as: ${titleA()}; vehicle: ${vehicle().title}`] });
    if (disc.error) return tellTrouble(disc.error);
    const name = `${fileName(disc.title)}_changed.toml`;
    save(name, disc.toml);
    tellSaved("disc-saved", name, `damper run ${at("situation").value} --set disc=${name}`);
  }

  function saveComplaint() {
    const state = at("with-disc").checked ? changesOfA() : [];
    const name = `${fileName(at("symptom").value)}.toml`;
    save(name, Complaint.toml(vehicle().name, state));
    tellSaved("complaint-saved", name, `damper diagnose ${name}`);
  }

  // --- begin ---------------------------------------------------------------------------------

  try {
    const engine = await Engine.start();
    lanes = engine.lanes;
    shelves = engine.told.shelves;
    at("version").textContent = `damper ${engine.told.version}`;
  } catch (error) {
    at("summary-words").replaceChildren(element("span", "", "The calculation cannot be started in this browser."));
    return tellTrouble(`The calculation cannot be started: ${error.message}. It needs WebAssembly with exceptions and workers, which current browsers have.`);
  }
  fill(at("vehicle"), grouped(shelves.vehicles, "class"));
  // The vehicle with the most to look at comes first.
  const situations = (one) => shelves.scenarios.filter((scenario) => scenario.vehicle === one.name).length;
  at("vehicle").value = [...shelves.vehicles].sort((x, y) => situations(y) - situations(x))[0].name;
  fill(at("cause"), [["", "none"], ...grouped(shelves.causes, "complaint")]);
  Complaint.start(shelves.complaints);
  at("vehicle").addEventListener("change", chooseVehicle);
  for (const id of ["situation", "cause"]) at(id).addEventListener("change", () => chooseBase(true));
  at("base").addEventListener("change", () => chooseBase(false));
  at("reset").addEventListener("click", () => chooseBase(false));
  at("pedal").addEventListener("change", () => { askA(); askB(); });
  at("other").addEventListener("change", askB);
  at("keep").addEventListener("click", () => {
    kept = { title: titleA(), changes: changesOfA() };
    fillOther();
    at("other").value = "kept";
    askB();
  });
  at("close").addEventListener("change", () => {
    if (now("a")) drawLoop(now("a"), now("b"));
  });
  at("save-disc").addEventListener("click", saveDisc);
  at("save-complaint").addEventListener("click", saveComplaint);
  await chooseVehicle();
})();
