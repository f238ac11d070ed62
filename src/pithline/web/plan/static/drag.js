// Cuts on the butt end that can be dragged. All sums are the server's; this only tells it where a cut was put.

const NS = "http://www.w3.org/2000/svg";

function draw(parent, tag, attributes, text) {
  const element = document.createElementNS(NS, tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  if (text !== undefined) element.textContent = text;
  parent.append(element);
  return element;
}

// One drawing of the butt end with its cuts: heights in metres above the pith, paper in millimetres.
class Butt {
  constructor(figure) {
    this.figure = figure;
    this.svg = figure.querySelector("svg");
    this.scale = Number(figure.dataset.mmPerM);
    this.step = Number(figure.dataset.step);
    this.way = figure.dataset.way;
    this.inches = figure.dataset.system === "inch";
    this.pinned = figure.dataset.pinned ? figure.dataset.pinned.split(" ").map(Number) : [];
    this.cuts = figure.dataset.cuts.split(" ").filter(Boolean).map((told) => {
      const [number, height] = told.split(":").map(Number);
      const line = this.svg.querySelector(`.cut[data-cut="${number}"]`);
      return { number, height, y: Number(line.getAttribute("y1")) };
    });
    this.width = this.svg.viewBox.baseVal.width;
    this.price = null;
    this.svg.setAttribute("role", "group"); // a picture may hold nothing that can be worked
    this.svg.setAttribute("aria-label", "The butt end; each cut can be moved by the arrow keys");
    this.layer = draw(this.svg, "g", {});
    this.band = draw(this.layer, "polygon", { class: "price", points: "" });
    this.cuts.forEach((cut, n) => this.grip(cut, this.reach(n)));
    this.fetchPrice();
  }

  // Paper height of the kerf whose upper side is at a height.
  y(height) {
    const cut = this.cuts[0];
    return cut.y - (height - cut.height) * this.scale;
  }

  // How far above and below its line a cut can be taken hold of: up to half way to its neighbours. [mm]
  reach(n) {
    const gaps = [this.cuts[n - 1], this.cuts[n + 1]].filter(Boolean).map((c) => Math.abs(c.y - this.cuts[n].y) / 2);
    return Math.max(1, Math.min(5, ...gaps));
  }

  grip(cut, reach) {
    const pinned = this.way === "follow" && this.pinned.some((h) => Math.abs(h - cut.height) < this.step / 2);
    const grip = draw(this.layer, "rect", {
      class: "grip", x: 0, y: cut.y - reach, width: this.width, height: 2 * reach, fill: "transparent",
      tabindex: 0, role: "slider", "aria-orientation": "vertical", "aria-label": `cut ${cut.number}`,
      "data-number": cut.number, "aria-valuenow": Math.round(cut.height * 1000),
      "aria-valuemin": Math.round((cut.height - 1) * 1000), "aria-valuemax": Math.round((cut.height + 1) * 1000),
      "aria-valuetext": `${this.say(cut.height)} from the pith`,
    });
    draw(this.layer, "circle", { class: pinned ? "knob pinned" : "knob", cx: 4.2, cy: cut.y, r: 1.9 });
    let from = null;
    let height = cut.height;
    const show = () => this.ghost(cut, height);
    grip.addEventListener("pointerdown", (event) => {
      from = this.paperY(event);
      grip.setPointerCapture(event.pointerId);
      grip.classList.add("held");
      event.preventDefault();
      grip.focus();
    });
    grip.addEventListener("pointermove", (event) => {
      if (from === null) return;
      const moved = (from - this.paperY(event)) / this.scale;
      height = Math.round((cut.height + moved) / this.step) * this.step;
      show();
    });
    const end = (keep) => {
      if (from === null) return;
      from = null;
      grip.classList.remove("held");
      if (keep && Math.abs(height - cut.height) > this.step / 2) this.put(cut, height);
      else this.ghost(null);
    };
    grip.addEventListener("pointerup", () => end(true));
    grip.addEventListener("pointercancel", () => end(false));
    let waiting = 0;
    grip.addEventListener("keydown", (event) => {
      const by = { ArrowUp: 1, ArrowDown: -1, PageUp: 10, PageDown: -10 }[event.key];
      if (!by) return;
      event.preventDefault();
      height += by * this.step;
      show();
      clearTimeout(waiting);
      waiting = setTimeout(() => this.put(cut, height), 500);
    });
  }

  nearest(height) {
    const far = (cut) => Math.abs(cut.height - height);
    const cut = [...this.cuts].sort((a, b) => far(a) - far(b))[0];
    return cut && this.layer.querySelector(`.grip[data-number="${cut.number}"]`);
  }

  // A length with its sign in the book's own unit.
  say(metres) {
    const sign = metres < 0 ? "−" : "+";
    const size = Math.abs(metres);
    return this.inches ? `${sign}${(size / 0.0254).toFixed(2)} in` : `${sign}${Math.round(size * 1e4) / 10} mm`;
  }

  paperY(event) {
    const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(this.svg.getScreenCTM().inverse());
    return point.y;
  }

  // The line where the cut would come to lie, and what it would cost there.
  ghost(cut, height) {
    for (const old of this.layer.querySelectorAll(".ghost, .said, .tag")) old.remove();
    if (cut === null) return;
    const y = this.y(height);
    draw(this.layer, "line", { class: "ghost", x1: 2, y1: y, x2: this.width - 2, y2: y });
    const moved = `cut ${cut.number}: ${this.say(height - cut.height)}`;
    const told = this.chosenWay() === "follow" ? this.costAt(height) : "";
    const text = told ? `${moved} · costs ${told}` : moved;
    const wide = 4 + text.length * 2.1;
    const x = Math.max(8, (this.width - wide) / 2);
    draw(this.layer, "rect", { class: "tag", x, y: y - 7.6, width: wide, height: 5.6, rx: 0.8 });
    draw(this.layer, "text", { class: "said", x: x + 2, y: y - 3.5, "font-size": 3.6 }, text);
  }

  costAt(height) {
    if (!this.price) return "";
    const at = this.price.heights_m.findIndex((h) => Math.abs(h - height) < this.step / 2);
    return at < 0 ? "more than can be: no cut there" : this.price.said[at];
  }

  // Only without earlier pins does the band tell the truth: it knows of one cut alone.
  async fetchPrice() {
    if (this.pinned.length) return;
    try {
      const answer = await fetch(this.figure.dataset.price, { headers: { Accept: "application/json" } });
      if (!answer.ok) return;
      this.price = await answer.json();
    } catch {
      return; // the band is an aid; without it the move still tells its cost
    }
    const most = Math.max(...this.price.costs);
    if (!(most > 0)) return;
    const left = 7;
    const points = this.price.heights_m.map((h, i) => `${left + 10 * this.price.costs[i] / most},${this.y(h).toFixed(2)}`);
    const [first, last] = [this.price.heights_m[0], this.price.heights_m.at(-1)];
    this.band.setAttribute("points", [`${left},${this.y(first)}`, ...points, `${left},${this.y(last)}`].join(" "));
  }

  chosenWay() {
    const chosen = document.querySelector('input[name="way"]:checked');
    return chosen ? chosen.value : "follow";
  }

  put(cut, height) {
    const way = this.chosenWay();
    const told = (h) => String(Math.round(h * 1e6) / 1e6);
    let heights;
    if (way === "stay") {
      heights = this.cuts.map((c) => (c === cut ? height : c.height)).sort((a, b) => b - a);
    } else {
      const earlier = this.way === "follow" ? this.pinned : [];
      heights = [...earlier.filter((h) => Math.abs(h - cut.height) > this.step / 2), height];
    }
    const moved = document.querySelector('input[name="moved"]');
    const trail = document.querySelector('input[name="trail"]');
    trail.value = `${trail.value}${moved.value};`.split(";").slice(-21).join(";");
    moved.value = [way, ...heights.map(told)].join(" ");
    focusOn = height;
    document.getElementById("controls").requestSubmit();
  }
}

let focusOn = null;

function begin() {
  const figure = document.getElementById("butt");
  if (!figure || figure.dataset.begun) return;
  figure.dataset.begun = "yes";
  const butt = new Butt(figure);
  // Numbers change when cuts come and go; who works by keyboard goes on with the cut at the same height.
  if (focusOn !== null) butt.nearest(focusOn)?.focus({ preventScroll: true });
  focusOn = null;
}

// The slider says its angle while it turns; an angle that was found stands on it.
function tellRoll() {
  const [roll, told, free] = ["roll", "roll-told", "roll-free"].map((id) => document.getElementById(id));
  if (!roll) return;
  const plan = document.getElementById("plan");
  if (free.checked && plan?.dataset.degrees) roll.value = plan.dataset.degrees;
  told.textContent = `${roll.value}°`;
}

document.addEventListener("input", (event) => {
  if (event.target.id === "roll") {
    document.getElementById("roll-free").checked = false;
    tellRoll();
  }
});
document.addEventListener("htmx:afterSettle", () => { begin(); tellRoll(); });
begin();
tellRoll();
