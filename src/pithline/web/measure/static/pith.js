// A tap on a drawn face says where the pith is: its place from the middle goes into the two inputs.
const perUnit = { mm: 1000, cm: 100, in: 1000 / 25.4 };

document.addEventListener("click", (event) => {
  const sheet = event.target.closest?.(".place-pith");
  if (!sheet) return;
  const form = sheet.closest("form");
  const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(sheet.getScreenCTM().inverse());
  const { end, scale, x, y } = sheet.dataset;
  const metres = (paper) => (paper * Number(scale)) / 1000;
  const unit = form.elements["tape"].value || "mm";
  const digits = unit === "mm" ? 0 : unit === "cm" ? 1 : 2;
  const write = (name, value) => {
    const input = form.elements[`log.${end}.${name}`];
    input.value = `${(value * perUnit[unit]).toFixed(digits)} ${unit}`;
    return input;
  };
  write("pith_right", metres(point.x - Number(x)));
  write("pith_up", metres(Number(y) - point.y)).dispatchEvent(new Event("change", { bubbles: true }));
});
