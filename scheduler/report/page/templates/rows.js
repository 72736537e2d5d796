const usual = table.dataset.now && innerWidth > 760 && innerWidth < 2000 && span > 480 ? 8 : 0;
const rows = () => [...table.querySelectorAll("tbody.f")];
const shown = () => rows().filter((row) => !row.hidden);
const pickOf = (row) => row.querySelector(".pick");
const byId = (id) => rows().find((row) => row.dataset.id === id);
function focusRow(row) {
for (const other of rows()) pickOf(other).tabIndex = other === row ? 0 : -1;
pickOf(row).focus();
pickOf(row).scrollIntoView({ block: "nearest" });
}
const names = { l: "landing", i: "in-block", f: "fan ", d: "", p: "hottest plug, ", t: "TOBT, end of ground handling", r: "brake-ready", o: "planned off-block", x: "take-off", c: "CTOT" };
function marksOf(row) {
return row.dataset.marks.split("\n").filter(Boolean).map((line) => {
const [, minute, kind, text] = /^(-?\d+)(\w)(.*)$/.exec(line);
return { minute: +minute, kind, text: names[kind] + text };
});
}
function tell(row, more) {
const values = row.classList.contains("open") ? showValues(row) : [];
say([row.dataset.tail, cursor === null ? "" : clock(cursor) + " UTC", more, ...values].filter(Boolean).join(", "));
}
function light(id) {
for (const it of document.querySelectorAll(".lt")) it.classList.toggle("on", it.dataset.id === id);
for (const it of document.querySelectorAll(".lit")) it.classList.remove("lit");
if (id === null) return;
for (const it of document.querySelectorAll(".actions li")) if (it.querySelector(".fl").textContent === id) it.classList.add("lit");
for (const link of document.querySelectorAll(".card tr a.fl")) if (link.textContent === id) link.closest("tr").classList.add("lit");
const load = document.getElementById("load-flight");
if (load) load.textContent = id;
}
function fill(row) {
const key = row.querySelector(".key"), sentence = row.querySelector(".say"), assumed = row.querySelector(".ass");
if (!key || key.querySelector("ul")) return;
const scale = table.tHead.querySelector(".scale").cloneNode(true);
scale.classList.add("own");
row.querySelector(".p .plot").prepend(scale);
key.prepend(document.getElementById("key").content.cloneNode(true));
for (const link of document.querySelectorAll("#departures .fl")) if (link.textContent === row.dataset.id) sentence.textContent = link.closest("tr").querySelector(".say span").textContent;
const lines = document.querySelectorAll("#assumed tbody tr");
const texts = assumed.dataset.a.split(" ").filter(Boolean).map((k) => lines[+k].cells[0].textContent);
assumed.lastChild.textContent = " " + (texts.join("; ") || "nothing") + ".";
}
function pick(row, remember) {
for (const other of rows()) {
const isIt = other === row;
other.classList.toggle("open", isIt);
pickOf(other).setAttribute("aria-expanded", String(isIt));
}
light(row ? row.dataset.id : null);
if (row) fill(row);
if (remember) history.replaceState(null, "", row ? "#flight=" + encodeURIComponent(row.dataset.id) : location.pathname + location.search);
if (!row) { if (!chosen) zoom(usual); return; }
const marks = marksOf(row), start = marks[0].minute, end = marks[marks.length - 1].minute;
if (!chosen) zoom(end - start > 200 ? 8 : 4, (start + end) / 2); else if (wide) centre((start + end) / 2);
if (cursor === null) { const here = marks.find((mark) => mark.kind === "i") || marks[0]; moveCursor(here.minute, false); }
const plot = row.querySelector(".p .plot");
if (plot && plot.scrollWidth > plot.clientWidth) { plot.tabIndex = 0; plot.scrollLeft = plot.scrollWidth * (start - first) / span - 20; }
tell(row, "curves open");
}
function pickFromAddress(focus) {
const match = /^#flight=(.*)$/.exec(location.hash);
if (!match) return;
let id = match[1];
try { id = decodeURIComponent(match[1]); } catch { return; }
const row = byId(id);
if (!row) return;
row.hidden = false;
pick(row, false);
if (focus) focusRow(row);
row.querySelector(".r").scrollIntoView({ block: "center" });
}
function step(row, by) {
const all = shown(), next = all[all.indexOf(row) + by];
if (next) { focusRow(next); tell(next, next.dataset.waits === "nothing" ? "waits for nothing" : "waits for " + next.dataset.waits); }
}
function stepMark(row, by) {
const marks = marksOf(row), from = cursor === null ? first : cursor;
const last = row.markAt;
let k = last !== undefined && marks[last] && marks[last].minute === from ? last + by
: by > 0 ? marks.findIndex((mark) => mark.minute >= from) : marks.findLastIndex((mark) => mark.minute <= from);
if (k < 0 || k >= marks.length) k = by > 0 ? marks.length - 1 : 0;
row.markAt = k;
moveCursor(marks[k].minute, true);
tell(row, marks[k].text);
}
function stepTime(row, by) {
moveCursor((cursor === null ? marksOf(row)[0].minute : cursor) + by, true);
tell(row, "");
}
const keys = {
ArrowDown: (row) => step(row, 1), ArrowUp: (row) => step(row, -1),
ArrowRight: (row, far) => stepTime(row, far ? 10 : 1), ArrowLeft: (row, far) => stepTime(row, far ? -10 : -1),
".": (row) => stepMark(row, 1), ",": (row) => stepMark(row, -1),
Home: (row) => focusRow(shown()[0]), End: () => focusRow(shown().at(-1)),
Escape: (row) => { pick(null, true); focusRow(row); },
};
table.addEventListener("keydown", (event) => {
const row = event.target.closest("tbody.f");
if (!row || !event.target.classList.contains("pick") || event.ctrlKey || event.altKey || event.metaKey) return;
const act = keys[event.key];
if (!act) return;
event.preventDefault();
act(row, event.shiftKey);
});
table.addEventListener("click", (event) => {
const row = event.target.closest("tbody.f");
if (!row) return;
if (event.target.closest(".r")) { pick(row.classList.contains("open") && event.target.closest(".pick") ? null : row, true); focusRow(row); }
else if (event.target.closest(".p")) focusRow(row);
});
table.addEventListener("focusin", (event) => {
if (event.target.classList.contains("pick")) for (const other of rows()) pickOf(other).tabIndex = pickOf(other) === event.target ? 0 : -1;
});
for (const [k, row] of rows().entries()) pickOf(row).tabIndex = k ? -1 : 0;
window.addEventListener("hashchange", () => pickFromAddress(true));
function begin() {
if (location.hash.startsWith("#flight=")) return pickFromAddress(false);
if (!table.dataset.now) return;
if (usual) zoom(usual, +table.dataset.now + 150);
const next = rows().find((row) => !row.classList.contains("left"));
if (next) scroller.scrollTop = next.offsetTop - table.tHead.offsetHeight;
}
begin();
