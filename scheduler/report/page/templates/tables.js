const words = document.getElementById("q"), standOf = document.getElementById("q-stand"), waitsOf = document.getElementById("q-waits"), order = document.getElementById("order");
function filter() {
const wanted = words.value.trim().toLowerCase();
for (const row of rows()) {
const data = row.dataset;
const hit = !wanted || data.tail.toLowerCase().includes(wanted) || data.id.toLowerCase().includes(wanted);
row.hidden = !(hit && (!standOf.value || data.stand === standOf.value) && (!waitsOf.value || data.waits === waitsOf.value));
}
const left = shown(), total = rows().length;
document.getElementById("shown").textContent = left.length === total ? "" : left.length + " of " + total + " shown";
if (left.length && !left.some((row) => pickOf(row).tabIndex === 0)) for (const [k, row] of left.entries()) pickOf(row).tabIndex = k ? -1 : 0;
}
for (const it of [words, standOf, waitsOf]) it.addEventListener("input", filter);
document.querySelector(".tools").addEventListener("submit", (event) => event.preventDefault());
const compare = new Intl.Collator("en", { numeric: true }).compare;
order.addEventListener("change", () => {
const key = order.value, isNumber = key === "off" || key === "delay", sign = key === "delay" ? -1 : 1;
const sorted = rows().sort((a, b) => sign * (isNumber ? a.dataset[key] - b.dataset[key] : compare(a.dataset[key], b.dataset[key])) || a.dataset.off - b.dataset.off);
const after = table.querySelector("tbody.lanes");
for (const row of sorted) table.insertBefore(row, after);
said.textContent = "Ordered by " + order.selectedOptions[0].textContent;
});
for (const button of document.querySelectorAll(".sort")) button.addEventListener("click", () => {
const head = button.closest("th"), body = head.closest("table").tBodies[0], column = head.cellIndex;
const up = head.getAttribute("aria-sort") !== "ascending";
for (const other of head.parentElement.cells) if (other.hasAttribute("aria-sort")) other.setAttribute("aria-sort", "none");
head.setAttribute("aria-sort", up ? "ascending" : "descending");
const isText = button.dataset.kind === "text";
const minutes = (text) => { const m = /^(\d+):(\d+)([+-]\d+)?/.exec(text); return m ? 60 * m[1] + +m[2] + 1440 * (m[3] || 0) : isNaN(parseFloat(text)) ? 1e6 : parseFloat(text); };
const value = (row) => isText ? row.cells[column].textContent : minutes(row.cells[column].innerText.trim());
const sorted = [...body.rows].sort((a, b) => (up ? 1 : -1) * (isText ? compare(value(a), value(b)) : value(a) - value(b)));
body.append(...sorted);
});
function copied(button, done) {
button.textContent = done ? "copied" : "select it";
said.textContent = done ? "Sentence copied" : "Sentence selected";
setTimeout(() => { button.textContent = "copy"; }, 2000);
}
function select(node) {
const range = document.createRange();
range.selectNodeContents(node);
getSelection().removeAllRanges();
getSelection().addRange(range);
}
for (const button of document.querySelectorAll(".copy")) button.addEventListener("click", async () => {
const node = button.parentElement.querySelector("span");
try { await navigator.clipboard.writeText(node.textContent); copied(button, true); }
catch { select(node); copied(button, document.execCommand("copy")); }
});
