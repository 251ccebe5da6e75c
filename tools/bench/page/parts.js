// SPDX-License-Identifier: MIT
// Small things that the other scripts share. Text goes in as text, never as markup.
"use strict";

const Parts = (() => {
  function element(tag, className, text) {
    const made = document.createElement(tag);
    if (className) made.className = className;
    if (text !== undefined) made.textContent = text;
    return made;
  }

  // Puts [value, text] pairs, or {group, options} of them, into a choice.
  function fill(select, entries) {
    const option = ([value, text]) => {
      const made = element("option", "", text);
      made.value = value;
      return made;
    };
    select.replaceChildren(...entries.map((one) => {
      if (Array.isArray(one)) return option(one);
      const group = element("optgroup");
      group.label = one.group;
      group.append(...one.options.map(option));
      return group;
    }));
  }

  const shapes = {
    good: [["circle", { cx: 12, cy: 12, r: 10 }], "M7 12.5l3.5 3.5 6.5-8"],
    watch: [["path", { d: "M12 2L23 22H1z" }], "M12 9v6m0 2v2.2"],
    bad: [["path", { d: "M2 2H22V22H2z" }], "M7 7l10 10m0-10l-10 10"],
  };

  // A circle, a triangle or a square with its word: told apart without colour.
  function badge(grade, word) {
    const svg = (tag, attributes) => {
      const made = document.createElementNS("http://www.w3.org/2000/svg", tag);
      for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
      return made;
    };
    const picture = svg("svg", { class: "shape", viewBox: "0 0 24 24", "aria-hidden": "true" });
    const [[tag, attributes], sign] = shapes[grade];
    picture.append(svg(tag, attributes), svg("path", { class: "sign", d: sign }));
    const made = element("span", `grade ${grade}`);
    made.append(picture, element("span", "", word));
    return made;
  }

  function save(name, text) {
    const link = element("a");
    link.href = URL.createObjectURL(new Blob([text], { type: "application/toml" }));
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10000);
  }

  // A file name of letters, digits and '_'.
  const fileName = (title) => title.toLowerCase().replace(/[^a-z0-9]+/g, "_").replace(/^_+|_+$/g, "")
    .slice(0, 60) || "case";

  return { element, fill, badge, save, fileName };
})();

// TOML 1.0.0, "String": what is written is read back to the letter.
const Toml = (() => {
  const text = (value) => '"' + [...value].map((c) => {
    const code = c.codePointAt(0);
    if (c === '"' || c === "\\") return "\\" + c;
    if (c === "\n") return "\\n";
    if (code < 0x20 || code === 0x7f) return "\\u" + code.toString(16).toUpperCase().padStart(4, "0");
    return code >= 0xd800 && code <= 0xdfff ? "\ufffd" : c;
  }).join("") + '"';

  const table = (name, pairs) => pairs.length === 0 ? ""
    : `\n[${name}]\n` + pairs.map(([key, value]) => `${text(key)} = ${text(value)}\n`).join("");

  return { text, table };
})();
