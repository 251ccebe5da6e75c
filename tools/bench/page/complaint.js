// SPDX-License-Identifier: MIT
// The complaint as a form. What is asked, and the words of the answers, come from the folder
// models/complaints that the page was made with; without one there is no form.
"use strict";

const Complaint = (() => {
  // Keys of the file besides the answers.
  const texts = [
    { key: "title", label: "Title of the case", long: false },
    { key: "mileage", label: "Mileage, with its unit", long: false },
    { key: "notes", label: "Notes", long: true },
  ];
  const { element, fill } = Parts;
  const at = (id) => document.getElementById(id);
  let known = null;

  const symptomNow = () => known.symptoms.find((one) => one.symptom === at("symptom").value);

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
    at("symptom-words").textContent = symptom.words || "";
    const list = at("questions");
    const before = new Map([...list.querySelectorAll("select")].map((one) => [one.dataset.question, one.value]));
    const asked = symptom.questions.map((name) => known.questions.find((one) => one.name === name));
    list.replaceChildren(...asked.filter(Boolean).map(question));
    for (const select of list.querySelectorAll("select")) {
      if (before.has(select.dataset.question)) select.value = before.get(select.dataset.question);
    }
  }

  function start(shelf) {
    at("complaint").hidden = shelf.symptoms.length === 0;
    if (shelf.symptoms.length === 0) return;
    known = shelf;
    fill(at("symptom"), known.symptoms.map((one) => [one.symptom, one.title]));
    const place = at("complaint-texts");
    for (const one of texts) {
      const label = element("label", "", one.label);
      const input = element(one.long ? "textarea" : "input");
      input.maxLength = 330;  // descriptions take texts of up to 1000 bytes
      input.id = label.htmlFor = `say-${one.key}`;
      const row = element("div", "field");
      row.append(label, input);
      place.append(row);
    }
    at("symptom").addEventListener("change", askAgain);
    askAgain();
  }

  // The case as a description file. `changes` is the state of the vehicle: key and value each.
  function toml(vehicle, changes) {
    const { text, table } = Toml;
    const said = Object.fromEntries(texts.map((one) =>
      [one.key, at(`say-${one.key}`).value.trim().replace(/\s+/g, " ")]));
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
