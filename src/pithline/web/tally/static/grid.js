// Cells copied in a spreadsheet and pasted into the grid are laid out by the book, like pasted lines:
// one reading of them, whether there is script or not.
document.addEventListener("paste", (event) => {
  const cell = event.target;
  if (!(cell instanceof Element) || !cell.closest("#grid")) return;
  const text = event.clipboardData?.getData("text/plain") ?? "";
  if (!text.includes("\t") && !text.trim().includes("\n")) return; // one cell goes into its field
  if (cell.matches("textarea") && !text.includes("\t")) return; // lines of widths
  const form = document.getElementById("paste");
  const lines = document.getElementById("lines");
  if (!form || !lines) return;
  event.preventDefault();
  lines.value = text;
  form.requestSubmit();
});
