"use strict";
// Sorts and filters the table of pieces. Without this script the table reads as it was written.
(() => {
  const table = document.getElementById("pieces");
  const form = document.getElementById("filters");
  if (!table || !form) return;
  const body = table.tBodies[0];
  const rows = [...body.rows];
  const count = document.getElementById("count");
  const heads = [...table.tHead.rows[0].cells];

  const sort = (column, turned) => {
    const number = heads[column].dataset.kind === "number";
    const value = (row) => row.cells[column].dataset.sort;
    const compare = (a, b) => {
      const [x, y] = [value(a), value(b)];
      // Pieces without a value stay at the end either way round.
      if (!x !== !y) return x ? -1 : 1;
      const order = number ? Number(x) - Number(y) : x.localeCompare(y);
      return turned ? -order : order;
    };
    rows.sort(compare);
    body.append(...rows);
    heads.forEach((head, at) => {
      if (at === column) head.setAttribute("aria-sort", turned ? "descending" : "ascending");
      else head.removeAttribute("aria-sort");
    });
  };
  heads.forEach((head, column) => {
    const button = head.querySelector("button");
    button.disabled = false;
    button.addEventListener("click", () => sort(column, head.getAttribute("aria-sort") === "ascending"));
  });

  const within = (list, wanted) => list.split("|").includes(wanted);
  const filter = () => {
    const asked = Object.fromEntries(new FormData(form));
    const text = asked.text.trim().toLowerCase();
    const hand = { right: "R", left: "L" }[asked.hand];
    const passage = (list) => list.split("|").some((item) => {
      const [kind, hands] = item.split(":");
      return kind === asked.passages && (!hand || hands.includes(hand));
    });
    const fits = (row) => {
      const has = row.dataset;
      const level = Math.round(Number(has.level) / 1000);
      return (!text || row.textContent.toLowerCase().includes(text))
        && (!asked.from || level >= Number(asked.from))
        && (!asked.to || level <= Number(asked.to))
        && (!asked.ready || has.ready === asked.ready)
        && (!asked.keys || within(has.keys, asked.keys))
        && (!asked.passages || passage(has.passages))
        && (!asked.hand || (asked.passages && hand) || has.hand === asked.hand)
        && (!asked.drills || within(has.drills, asked.drills))
        && (!asked.length || Number(has.length) <= 60 * parseInt(asked.length, 10))
        && (!asked.era || has.era === asked.era)
        && (!asked.edition || has.edition === asked.edition);
    };
    let shown = 0;
    for (const row of rows) {
      row.hidden = !fits(row);
      if (!row.hidden) shown += 1;
    }
    const all = rows.length === 1 ? "1 piece" : `${rows.length} pieces`;
    count.textContent = shown === rows.length ? all : `${shown} of ${all}`;
  };
  form.hidden = false;
  form.addEventListener("input", filter);
  form.addEventListener("reset", () => setTimeout(filter));
  form.addEventListener("submit", (event) => event.preventDefault());
})();
