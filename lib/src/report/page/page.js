"use strict";
// Draws the layers that were kept, one at a time. Without this script the page is complete but for that.
(() => {
  const HUNDREDTHS = 100;
  const PARTS = ["unknown", "outline", "wall", "fill", "apart"];
  const COLOURS = ["edge", "bead", "outline", "wall", "fill", "apart", "under", "signal", "halo", "ink", "travel", "sheet"];
  // The dark edge of a bead, as in the pictures that the program drew.
  const CORE_SHARE = 0.78;
  const WIDTH_STEP = 5;
  const KEY_PAN_PX = 60;
  const ZOOM_STEP = 1.4;

  // The inverse of `packed` in packed_layer.cpp.
  class Bytes {
    constructor(bytes) { this.bytes = bytes; this.at = 0; }
    byte() { return this.bytes[this.at++]; }
    number() {
      let value = 0;
      for (let factor = 1; ; factor *= 128) {
        const byte = this.byte();
        value += (byte & 127) * factor;
        if (byte < 128) return value;
      }
    }
    step() {
      const value = this.number();
      return value % 2 ? -(value + 1) / 2 : value / 2;
    }
  }

  function readBeads(bytes) {
    const count = bytes.number();
    const beads = { count, ends: new Int32Array(4 * count), widths: new Uint16Array(count), parts: new Uint8Array(count) };
    let x = 0, y = 0, width = 0, part = 0;
    for (let i = 0; i < count; ++i) {
      const flags = bytes.byte();
      if (flags & 1) { x += bytes.step(); y += bytes.step(); }
      if (flags & 2) width = bytes.number();
      if (flags & 4) part = bytes.byte();
      beads.ends[4 * i] = x;
      beads.ends[4 * i + 1] = y;
      x += bytes.step();
      y += bytes.step();
      beads.ends[4 * i + 2] = x;
      beads.ends[4 * i + 3] = y;
      beads.widths[i] = width;
      beads.parts[i] = part;
    }
    return beads;
  }

  function readTravels(bytes) {
    const count = bytes.number();
    const travels = { count, ends: new Int32Array(4 * count), after: new Uint32Array(count), kinds: new Uint8Array(count) };
    let x = 0, y = 0, after = 0;
    for (let i = 0; i < count; ++i) {
      after += bytes.number();
      const flags = bytes.byte();
      if (flags & 4) { x += bytes.step(); y += bytes.step(); }
      travels.ends[4 * i] = x;
      travels.ends[4 * i + 1] = y;
      x += bytes.step();
      y += bytes.step();
      travels.ends[4 * i + 2] = x;
      travels.ends[4 * i + 3] = y;
      travels.after[i] = after;
      travels.kinds[i] = flags & 3;
    }
    return travels;
  }

  async function unpacked(text) {
    const binary = atob(text);
    const packed = new Uint8Array(binary.length);
    for (let i = 0; i < binary.length; ++i) packed[i] = binary.charCodeAt(i);
    const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("deflate"));
    const bytes = new Bytes(new Uint8Array(await new Response(stream).arrayBuffer()));
    return { beads: readBeads(bytes), travels: readTravels(bytes) };
  }

  function extent(beads) {
    const box = [Infinity, Infinity, -Infinity, -Infinity];
    for (let i = 0; i < beads.ends.length; i += 2) {
      box[0] = Math.min(box[0], beads.ends[i]);
      box[1] = Math.min(box[1], beads.ends[i + 1]);
      box[2] = Math.max(box[2], beads.ends[i]);
      box[3] = Math.max(box[3], beads.ends[i + 1]);
    }
    return box;
  }

  class Bench {
    constructor(section) {
      this.section = section;
      this.canvas = section.querySelector("canvas");
      this.here = section.querySelector(".here");
      const data = JSON.parse(section.querySelector("script").textContent);
      this.layers = data.layers;
      this.findings = data.findings;
      this.id = data.id;
      this.index = this.firstIndex();
      this.shown = new Map();
      this.view = null;  // middle in hundredths of a millimetre, and pixels per hundredth
      this.control("layer").max = this.layers.length - 1;
      section.hidden = false;
      this.listen();
      this.wake();
    }

    control(name) { return this.section.querySelector(`[data-do="${name}"]`); }

    firstIndex() {
      for (const finding of this.findings)
        for (const place of finding.places) {
          const index = this.layers.findIndex((layer) => layer.layer === place[0]);
          if (index >= 0) return index;
        }
      return 0;
    }

    // Nothing is unpacked before somebody comes near.
    wake() {
      new IntersectionObserver((entries, observer) => {
        if (!entries.some((entry) => entry.isIntersecting)) return;
        observer.disconnect();
        this.show();
      }, { rootMargin: "400px" }).observe(this.section);
    }

    async layerAt(index) {
      if (!this.shown.has(index)) {
        if (this.shown.size > 8) this.shown.clear();
        this.shown.set(index, await unpacked(this.layers[index].data));
      }
      return this.shown.get(index);
    }

    async show(view) {
      const index = this.index;
      const layer = await this.layerAt(index);
      const below = this.belowOf(index);
      const under = below === null ? null : await this.layerAt(below);
      if (index !== this.index) return;
      this.layer = layer;
      this.under = under;
      if (view) this.view = view;
      if (!this.view) this.view = this.whole();
      this.say();
      this.draw();
    }

    belowOf(index) {
      const layer = this.layers[index];
      const below = index > 0 ? this.layers[index - 1] : null;
      return below && below.layer === layer.layer - 1 && below.z < layer.z ? index - 1 : null;
    }

    whole() {
      const [left, front, right, back] = extent(this.layer.beads);
      const { clientWidth, clientHeight } = this.canvas;
      const margin = 1.08;
      const scale = Math.min(clientWidth / Math.max(1, (right - left) * margin),
                             clientHeight / Math.max(1, (back - front) * margin));
      return { x: (left + right) / 2, y: (front + back) / 2, scale };
    }

    foundOn(layer) {
      return this.findings.filter((finding) => finding.places.some((place) => place[0] === layer) ||
                                               finding.marks.some((mark) => mark.layer === layer));
    }

    say() {
      const layer = this.layers[this.index];
      const found = this.foundOn(layer.layer);
      let text = `Layer ${layer.layer}, Z ${layer.z} mm; ${this.index + 1} of ${this.layers.length} kept.`;
      if (layer.missing) text += ` ${layer.missing} beads far from any finding are not drawn.`;
      text += found.length ? " Found here: " : " Nothing was found here.";
      this.here.replaceChildren(text);
      found.forEach((finding, i) => {
        const link = document.createElement("a");
        link.href = `#${this.id}${finding.number}`;
        link.textContent = `${finding.number} ${finding.check} (${finding.severity})`;
        this.here.append(i ? ", " : "", link);
      });
      this.canvas.setAttribute("aria-label", `Layer ${layer.layer} from above, ${this.layer.beads.count} pieces of beads; ` +
        (found.length ? `findings ${found.map((finding) => finding.number).join(", ")}` : "no findings"));
      this.control("layer").value = this.index;
      this.control("layer").setAttribute("aria-valuetext", `layer ${layer.layer}`);
      this.control("lower").disabled = this.index === 0;
      this.control("higher").disabled = this.index === this.layers.length - 1;
    }

    colours() {
      const style = getComputedStyle(document.documentElement);
      return Object.fromEntries(COLOURS.map((name) => [name, style.getPropertyValue(`--${name}`).trim()]));
    }

    draw() {
      if (!this.layer) return;
      const ratio = window.devicePixelRatio || 1;
      const { clientWidth, clientHeight } = this.canvas;
      this.canvas.width = Math.round(clientWidth * ratio);
      this.canvas.height = Math.round(clientHeight * ratio);
      const pen = this.canvas.getContext("2d");
      const { x, y, scale } = this.view;
      const colours = this.colours();
      pen.fillStyle = colours.sheet;
      pen.fillRect(0, 0, this.canvas.width, this.canvas.height);
      pen.setTransform(scale * ratio, 0, 0, -scale * ratio, (clientWidth / 2 - x * scale) * ratio,
                       (clientHeight / 2 + y * scale) * ratio);
      pen.lineCap = "round";
      pen.lineJoin = "round";
      if (this.under && this.control("below").checked) this.drawUnder(pen, colours);
      const laid = Math.ceil(this.layer.beads.count * this.control("laid").value / 1000);
      this.drawBeads(pen, colours, laid);
      if (this.control("travels").checked) this.drawTravels(pen, colours, laid);
      this.drawFound(pen, colours);
    }

    // One path for each part and width.
    paths(beads, laid) {
      const paths = new Map();
      const { ends, widths, parts } = beads;
      for (let i = 0; i < laid; ++i) {
        const width = Math.max(1, Math.round(widths[i] / WIDTH_STEP)) * WIDTH_STEP;
        const key = parts[i] * 65536 + width;
        if (!paths.has(key)) paths.set(key, { width, part: PARTS[parts[i]], path: new Path2D() });
        const path = paths.get(key).path;
        if (i === 0 || ends[4 * i] !== ends[4 * i - 2] || ends[4 * i + 1] !== ends[4 * i - 1] || widths[i] !== widths[i - 1] ||
            parts[i] !== parts[i - 1]) path.moveTo(ends[4 * i], ends[4 * i + 1]);
        path.lineTo(ends[4 * i + 2], ends[4 * i + 3]);
      }
      return [...paths.values()];
    }

    drawUnder(pen, colours) {
      pen.strokeStyle = colours.under;
      for (const { width, path } of this.paths(this.under.beads, this.under.beads.count)) {
        pen.lineWidth = width;
        pen.stroke(path);
      }
    }

    drawBeads(pen, colours, laid) {
      const paths = this.paths(this.layer.beads, laid);
      pen.strokeStyle = colours.edge;
      for (const { width, path } of paths) {
        pen.lineWidth = width;
        pen.stroke(path);
      }
      for (const { width, part, path } of paths) {
        pen.strokeStyle = part === "unknown" ? colours.bead : colours[part];
        pen.lineWidth = CORE_SHARE * width;
        pen.stroke(path);
      }
    }

    drawTravels(pen, colours, laid) {
      const { travels } = this.layer;
      const thin = 1.5 / this.view.scale;
      pen.strokeStyle = colours.travel;
      pen.lineWidth = thin;
      for (const dry of [false, true]) {
        pen.setLineDash(dry ? [3 * thin, 4 * thin] : []);
        pen.beginPath();
        for (let i = 0; i < travels.count && travels.after[i] <= laid; ++i) {
          if (Boolean(travels.kinds[i] & 2) !== dry) continue;
          pen.moveTo(travels.ends[4 * i], travels.ends[4 * i + 1]);
          pen.lineTo(travels.ends[4 * i + 2], travels.ends[4 * i + 3]);
        }
        pen.stroke();
      }
      pen.setLineDash([]);
    }

    // A halo first, so that the signal stands out on every bead.
    drawFound(pen, colours) {
      const number = this.layers[this.index].layer;
      const path = new Path2D();
      const radius = 9 / this.view.scale;
      for (const finding of this.findings) {
        for (const [layer, x, y] of finding.places) {
          if (layer !== number) continue;
          path.moveTo(x * HUNDREDTHS + radius, y * HUNDREDTHS);
          path.arc(x * HUNDREDTHS, y * HUNDREDTHS, radius, 0, 2 * Math.PI);
        }
        for (const mark of finding.marks)
          if (mark.layer === number)
            mark.points.forEach(([x, y], i) => path[i ? "lineTo" : "moveTo"](x * HUNDREDTHS, y * HUNDREDTHS));
      }
      for (const [colour, width] of [[colours.halo, 6], [colours.signal, 2.2]]) {
        pen.strokeStyle = colour;
        pen.lineWidth = width / this.view.scale;
        pen.stroke(path);
      }
      this.number(pen, colours, number);
    }

    number(pen, colours, layer) {
      const ratio = window.devicePixelRatio || 1;
      const { clientWidth, clientHeight } = this.canvas;
      pen.save();
      pen.setTransform(ratio, 0, 0, ratio, 0, 0);
      pen.font = `700 15px ${getComputedStyle(this.canvas).fontFamily}`;
      pen.textBaseline = "middle";
      for (const finding of this.findings) {
        const place = finding.places.find((one) => one[0] === layer);
        if (!place) continue;
        const x = clientWidth / 2 + (place[1] * HUNDREDTHS - this.view.x) * this.view.scale + 14;
        const y = clientHeight / 2 - (place[2] * HUNDREDTHS - this.view.y) * this.view.scale - 14;
        pen.lineWidth = 5;
        pen.strokeStyle = colours.halo;
        pen.strokeText(finding.number, x, y);
        pen.fillStyle = colours.signal;
        pen.fillText(finding.number, x, y);
      }
      pen.restore();
    }

    go(index) {
      const next = Math.min(this.layers.length - 1, Math.max(0, index));
      if (next === this.index && this.layer) return;
      this.index = next;
      this.show();
    }

    zoom(factor) {
      if (!this.view) return;
      const whole = this.whole().scale;
      this.view.scale = Math.min(Math.max(this.view.scale * factor, whole / 2), Math.max(whole, 2));
      this.draw();
    }

    pan(right, back) {
      if (!this.view) return;
      this.view.x += right / this.view.scale;
      this.view.y += back / this.view.scale;
      this.draw();
    }

    act(action) {
      const actions = {
        lower: () => this.go(this.index - 1),
        higher: () => this.go(this.index + 1),
        in: () => this.zoom(ZOOM_STEP),
        out: () => this.zoom(1 / ZOOM_STEP),
        left: () => this.pan(-KEY_PAN_PX, 0),
        right: () => this.pan(KEY_PAN_PX, 0),
        back: () => this.pan(0, KEY_PAN_PX),
        front: () => this.pan(0, -KEY_PAN_PX),
        whole: () => { if (this.layer) { this.view = this.whole(); this.draw(); } },
      };
      actions[action]();
    }

    listen() {
      const keys = { PageUp: "higher", PageDown: "lower", "+": "in", "=": "in", "-": "out", ArrowLeft: "left",
                     ArrowRight: "right", ArrowUp: "back", ArrowDown: "front", Home: "whole" };
      this.canvas.addEventListener("keydown", (event) => {
        if (!keys[event.key] || event.ctrlKey || event.metaKey || event.altKey) return;
        event.preventDefault();
        this.act(keys[event.key]);
      });
      for (const button of this.section.querySelectorAll("button[data-do]"))
        button.addEventListener("click", () => this.act(button.dataset.do));
      this.control("layer").addEventListener("input", (event) => this.go(Number(event.target.value)));
      for (const name of ["laid", "travels", "below"]) this.control(name).addEventListener("input", () => this.draw());
      this.listenToPointer();
      new ResizeObserver(() => this.draw()).observe(this.canvas);
      matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => this.draw());
    }

    // What a drag does, the arrow buttons do too.
    listenToPointer() {
      let last = null;
      this.canvas.addEventListener("pointerdown", (event) => {
        last = event;
        this.canvas.setPointerCapture(event.pointerId);
      });
      this.canvas.addEventListener("pointermove", (event) => {
        if (!last) return;
        this.pan(last.clientX - event.clientX, event.clientY - last.clientY);
        last = event;
      });
      for (const end of ["pointerup", "pointercancel"]) this.canvas.addEventListener(end, () => { last = null; });
    }

    async visit(layer, x, y) {
      const index = this.layers.findIndex((one) => one.layer === layer);
      if (index < 0) return;
      this.index = index;
      // So many millimetres across show single beads.
      const across = 30 * HUNDREDTHS;
      const view = Number.isFinite(x) ? { x: x * HUNDREDTHS, y: y * HUNDREDTHS, scale: this.canvas.clientWidth / across } : null;
      await this.show(view);
      if (!view) this.act("whole");
      this.canvas.scrollIntoView({ block: "center" });
      this.canvas.focus({ preventScroll: true });
    }
  }

  function begin() {
    if (typeof DecompressionStream !== "function") return;
    for (const section of document.querySelectorAll("section.layers")) {
      const bench = new Bench(section);
      const kept = new Set(bench.layers.map((layer) => String(layer.layer)));
      for (const button of section.parentElement.querySelectorAll("button.step")) {
        if (!kept.has(button.dataset.layer)) continue;
        button.hidden = false;
        button.addEventListener("click", () => bench.visit(Number(button.dataset.layer),
          parseFloat(button.dataset.x), parseFloat(button.dataset.y)));
      }
    }
  }

  begin();
})();
