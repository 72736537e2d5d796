"use strict";
document.documentElement.classList.add("js");
const table = document.getElementById("rows");
const scroller = table.parentElement;
const first = +table.dataset.first, span = +table.dataset.span;
const said = document.getElementById("said"), readout = document.getElementById("cursor-text");
let cursor = null, wide = 0, chosen = false;
const clock = (minute) => {
const day = Math.floor(minute / 1440), rest = minute - day * 1440;
return String(Math.floor(rest / 60)).padStart(2, "0") + ":" + String(rest % 60).padStart(2, "0") + (day ? (day > 0 ? "+" : "") + day : "");
};
function say(text) { readout.textContent = text; said.textContent = text; }
function centre(minute) {
const side = table.tHead.rows[0], left = side.cells[0].offsetWidth, right = side.cells[2].offsetWidth;
const plot = side.cells[1].offsetWidth;
const x = left + plot * (minute - first) / span;
scroller.scrollLeft = x - left - (scroller.clientWidth - left - right) / 2;
}
function zoom(hours, minute) {
const kept = minute === undefined ? middle() : minute;
wide = hours;
table.classList.toggle("z", hours > 0);
table.style.setProperty("--zoom", hours ? Math.max(1, span / (60 * hours)) : 1);
for (const button of document.querySelectorAll(".zoom")) button.setAttribute("aria-pressed", String(+button.dataset.hours === hours));
centre(kept);
}
function middle() {
if (cursor !== null) return cursor;
const cells = table.tHead.rows[0].cells, left = cells[0].offsetWidth, right = cells[2].offsetWidth;
const at = scroller.scrollLeft + (scroller.clientWidth - left - right) / 2;
return first + span * at / cells[1].offsetWidth;
}
function moveCursor(minute, follow) {
cursor = Math.max(first, Math.min(first + span, Math.round(minute)));
table.classList.add("at-cursor");
table.style.setProperty("--cursor", (100 * (cursor - first) / span) + "%");
if (follow && wide) centre(cursor);
const open = table.querySelector(".f.open");
if (open) showValues(open);
}
function valueOn(path, minute) {
const numbers = (path.getAttribute("d").match(/-?\d+/g) || []).map(Number);
const x = minute - first;
let [at, value] = numbers;
for (let i = 2; i < numbers.length; i += 2) {
const [across, down] = [numbers[i], numbers[i + 1]];
if (x >= at && x <= at + across) return -(across ? value + down * (x - at) / across : value);
at += across;
value += down;
}
return null;
}
function showValues(row) {
const found = [];
for (const output of row.querySelectorAll("output[data-k]")) {
const kind = output.dataset.k;
const path = row.querySelector(".c .k-" + kind);
const value = path && cursor !== null ? valueOn(path, cursor) : null;
output.textContent = value === null ? "" : Math.round(value) + " °C";
if (value !== null) found.push((kind === "indicated" ? "indication" : kind) + " " + Math.round(value) + " °C");
}
return found;
}
for (const button of document.querySelectorAll(".zoom")) button.addEventListener("click", () => { chosen = true; zoom(+button.dataset.hours); });
table.addEventListener("pointermove", (event) => {
const cell = event.target.closest && event.target.closest("td.plot");
if (!cell || event.pointerType !== "mouse") return;
const box = cell.getBoundingClientRect();
moveCursor(first + span * (event.clientX - box.left) / box.width, false);
readout.textContent = clock(cursor) + " UTC";
});
