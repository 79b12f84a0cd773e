// A column or a table that is pasted into a cell fills the cells below it and to its right. Cells are inputs whose
// names end in a number: x_1, y_1, x_2 … What does not fit goes, as a whole, into the list that belongs to the table.
const NAMED = /^(.*_)(\d+)$/;

const cells = (form) => [...form.querySelectorAll("input")].filter((input) => NAMED.test(input.name));
const numberOf = (input) => Number(NAMED.exec(input.name)[2]);

function rowsOf(text) {
  const lines = text.replace(/\s+$/, "").split(/\r\n|\n|\r/);
  if (lines.length > 1 && !/\d/.test(lines[0])) lines.shift(); // headings
  return lines.map((line) => line.split(/[\t;]/).map((cell) => cell.trim()));
}

/** The cells of one row, from the column of `first` on. */
function row(form, first, number, width) {
  const [, base] = NAMED.exec(first.name);
  const start = form.elements.namedItem(`${base}${number}`);
  if (!(start instanceof HTMLInputElement)) return null;
  const line = start.closest("tr");
  const same = cells(form).filter((input) => numberOf(input) === number && input.closest("tr") === line);
  const found = same.slice(same.indexOf(start)).slice(0, width);
  return found.length === width ? found : null;
}

document.addEventListener("paste", (event) => {
  const first = event.target;
  const form = first.form;
  if (!form?.hasAttribute("data-enter-moves-on") || !first.matches("input") || !NAMED.test(first.name)) return;
  const rows = rowsOf(event.clipboardData?.getData("text/plain") ?? "");
  if (rows.length < 2 && rows[0].length < 2) return; // one figure: the field takes it as it is
  event.preventDefault();
  const from = numberOf(first);
  const targets = rows.map((values, index) => row(form, first, from + index, values.length));
  if (targets.includes(null)) {
    const list = listOf(form, first);
    if (!list) return;
    list.closest("details")?.setAttribute("open", "");
    list.value = [list.value.trimEnd(), rows.map((values) => values.join("\t")).join("\n")].filter(Boolean).join("\n");
    tell(list);
    list.focus();
    return;
  }
  rows.forEach((values, index) => values.forEach((value, at) => { targets[index][at].value = value; }));
  tell(first);
  // On to the first cell that is still empty, else the last that was filled.
  const all = cells(form);
  const last = targets.at(-1).at(-1);
  (all.slice(all.indexOf(last) + 1).find((input) => input.value === "") ?? last).focus({ preventScroll: true });
});

/** The list that takes what is pasted for the table of this cell: x_1 → list, left_x_1 → left_list. */
function listOf(form, cell) {
  const prefix = cell.name.replace(/[a-z]+_\d+$/, "");
  return form.querySelector(`textarea[name="${CSS.escape(`${prefix}list`)}"]`) ?? form.querySelector("textarea[name=list]");
}

function tell(field) {
  field.dispatchEvent(new Event("input", { bubbles: true }));
}
