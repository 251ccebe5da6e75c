// SPDX-License-Identifier: MIT
// The complaint as a form. What is asked comes from the folder models/complaints, if the page was
// made with one; else from the few questions below, in the same shape.
"use strict";

const Complaint = (() => {
  const few = {
    questions: [
      { name: "since", asks: "How did the complaint come?", choices: [
        { name: "suddenly", says: "Suddenly, from one day to the next" },
        { name: "growing", says: "It grew over weeks or months" },
        { name: "repair", says: "Since work was done on the vehicle" },
        { name: "always", says: "As long as the vehicle is known" }] },
      { name: "warm", asks: "When is it worst?", choices: [
        { name: "cold", says: "Cold, after standing" },
        { name: "hot", says: "Warm" },
        { name: "alike", says: "Cold and warm alike" }] },
      { name: "pedal_down", asks: "What becomes of it with the clutch pedal pressed?", choices: [
        { name: "goes", says: "It goes" },
        { name: "stays", says: "It stays" },
        { name: "comes", says: "It comes only then" }] }],
    symptoms: ["rattle at idle", "rattle in creep", "rattle when pulling", "boom", "clunk", "shuffle",
               "judder", "slip", "drag", "noise at start or stop"].map((one) => ({
      symptom: one, title: one[0].toUpperCase() + one.slice(1), words: "",
      questions: ["since", "warm", "pedal_down"] })),
  };
  // Keys of the file besides the answers.
  const texts = [
    { key: "title", label: "Title of the case", long: false },
    { key: "mileage", label: "Mileage, with its unit", long: false },
    { key: "notes", label: "Notes", long: true },
  ];
  const { element, fill } = Parts;
  let known = few;

  const symptomNow = () => known.symptoms.find((one) => one.symptom === document.getElementById("symptom").value);

  function question(one) {
    const id = `answer-${one.name}`;
    const label = element("label", "", one.asks);
    label.htmlFor = id;
    const select = element("select");
    select.id = id;
    select.dataset.question = one.name;
    fill(select, [["", "not known"], ...one.choices.map((choice) => [choice.name, choice.says])]);
    const row = element("div", "field");
    row.append(label, select);
    for (const [name, className] of [["how", "small"], ["caution", "small caution"]]) {
      if (one[name]) row.append(element("p", className, one[name]));
    }
    return row;
  }

  function askAgain() {
    const symptom = symptomNow();
    document.getElementById("symptom-words").textContent = symptom.words || "";
    const list = document.getElementById("questions");
    const before = new Map([...list.querySelectorAll("select")].map((one) => [one.dataset.question, one.value]));
    const asked = symptom.questions.map((name) => known.questions.find((one) => one.name === name));
    list.replaceChildren(...asked.filter(Boolean).map(question));
    for (const select of list.querySelectorAll("select")) {
      if (before.has(select.dataset.question)) select.value = before.get(select.dataset.question);
    }
  }

  function start(shelf) {
    if (shelf && shelf.questions.length > 0 && shelf.symptoms.length > 0) known = shelf;
    fill(document.getElementById("symptom"), known.symptoms.map((one) => [one.symptom, one.title]));
    const place = document.getElementById("complaint-texts");
    for (const one of texts) {
      const label = element("label", "", one.label);
      const input = element(one.long ? "textarea" : "input");
      input.id = label.htmlFor = `complaint-${one.key}`;
      const row = element("div", "field");
      row.append(label, input);
      place.append(row);
    }
    document.getElementById("symptom").addEventListener("change", askAgain);
    askAgain();
  }

  // The case as a description file. `changes` is the state of the vehicle: key and value each.
  function toml(vehicle, changes) {
    const { text, table } = Toml;
    const said = Object.fromEntries(texts.map((one) =>
      [one.key, document.getElementById(`complaint-${one.key}`).value.trim()]));
    const lines = [["title", said.title || symptomNow().title],
                   ["origin", "written down on the bench page"],
                   ["vehicle", vehicle], ["symptom", symptomNow().symptom],
                   ["mileage", said.mileage], ["notes", said.notes]]
      .filter(([, value]) => value).map(([key, value]) => `${key} = ${text(value)}\n`);
    const answers = [...document.querySelectorAll("#questions select")]
      .filter((one) => one.value).map((one) => [one.dataset.question, one.value]);
    return lines.join("") + table("answers", answers) + table("change", changes);
  }

  return { start, toml };
})();
