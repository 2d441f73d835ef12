// A QR code (ISO/IEC 18004) of a short text without a link to the truck: byte mode, level L, mask 0, versions 1 to 25.
"use strict";
(function (root) {
  // Check codewords of a block and blocks, by version, level L: table 9 of the standard.
  const CHECK = [0, 7, 10, 15, 20, 26, 18, 20, 24, 30, 18, 20, 24, 26, 30, 22, 24, 28, 30, 28, 28, 28, 28, 30, 30, 26];
  const BLOCKS = [0, 1, 1, 1, 1, 1, 2, 2, 2, 2, 4, 4, 4, 4, 4, 6, 6, 6, 6, 7, 8, 8, 9, 9, 10, 12];
  const VERSION_MAX = 25;
  const bit = (number, at) => ((number >>> at) & 1) === 1;

  function codewords(version) {
    let modules = (16 * version + 128) * version + 64;
    if (version >= 2) { const marks = Math.floor(version / 7) + 2; modules -= (25 * marks - 10) * marks - 55; }
    if (version >= 7) modules -= 36;
    return Math.floor(modules / 8);
  }
  const room = (version) => codewords(version) - CHECK[version] * BLOCKS[version];
  const head = (version) => (version < 10 ? 12 : 20);

  function times(one, other) {  // in the field of 256 elements over x^8 + x^4 + x^3 + x^2 + 1
    let product = 0;
    for (let at = 7; at >= 0; at--) { product = (product << 1) ^ ((product >>> 7) * 0x11d); if (bit(other, at)) product ^= one; }
    return product;
  }
  function divisor(degree) {
    const made = new Array(degree).fill(0);
    made[degree - 1] = 1;
    for (let n = 0, power = 1; n < degree; n++, power = times(power, 2)) {
      for (let at = 0; at < degree; at++) made[at] = times(made[at], power) ^ (at + 1 < degree ? made[at + 1] : 0);
    }
    return made;
  }
  function rest(data, by) {
    const left = new Array(by.length).fill(0);
    data.forEach((byte) => { const factor = byte ^ left.shift(); left.push(0); by.forEach((one, at) => { left[at] ^= times(one, factor); }); });
    return left;
  }
  function words(bytes, version) {
    const bits = [];
    const put = (number, length) => { for (let at = length - 1; at >= 0; at--) bits.push(bit(number, at) ? 1 : 0); };
    put(4, 4);
    put(bytes.length, head(version) - 4);
    bytes.forEach((byte) => put(byte, 8));
    const most = 8 * room(version);
    put(0, Math.min(4, most - bits.length));
    put(0, (8 - bits.length % 8) % 8);
    for (let pad = 0xec; bits.length < most; pad ^= 0xfd) put(pad, 8);
    const data = [];
    for (let at = 0; at < bits.length; at += 8) data.push(parseInt(bits.slice(at, at + 8).join(""), 2));
    const total = codewords(version), blocks = BLOCKS[version], length = Math.floor(total / blocks), short = blocks - total % blocks;
    const by = divisor(CHECK[version]), parts = [], checks = [];
    for (let n = 0, at = 0; n < blocks; n++) {
      const part = data.slice(at, at + length - CHECK[version] + (n < short ? 0 : 1));
      at += part.length;
      parts.push(part);
      checks.push(rest(part, by));
    }
    const out = [], turn = (lists) => { for (let at = 0; at < Math.max(...lists.map((one) => one.length)); at++) lists.forEach((one) => { if (at < one.length) out.push(one[at]); }); };
    turn(parts);
    turn(checks);
    return out;
  }
  function marksAt(version, size) {
    if (version === 1) return [];
    const count = Math.floor(version / 7) + 2, step = Math.ceil((version * 4 + 4) / (count * 2 - 2)) * 2, found = [6];
    for (let at = size - 7; found.length < count; at -= step) found.splice(1, 0, at);
    return found;
  }
  function drawn(stream, version) {
    const size = 17 + 4 * version, dark = Array.from({ length: size }, () => new Array(size).fill(false)), fixed = dark.map((row) => row.slice());
    const set = (x, y, on) => { if (x >= 0 && y >= 0 && x < size && y < size) { dark[y][x] = on; fixed[y][x] = true; } };
    for (let at = 0; at < size; at++) { set(6, at, at % 2 === 0); set(at, 6, at % 2 === 0); }
    const square = (x, y, reach, lights) => { for (let dy = -reach; dy <= reach; dy++) for (let dx = -reach; dx <= reach; dx++) set(x + dx, y + dy, !lights.includes(Math.max(Math.abs(dx), Math.abs(dy)))); };
    [[3, 3], [size - 4, 3], [3, size - 4]].forEach(([x, y]) => square(x, y, 4, [2, 4]));
    const marks = marksAt(version, size), last = marks.length - 1;
    marks.forEach((x, i) => marks.forEach((y, j) => { if (!((i === 0 && j === 0) || (i === 0 && j === last) || (i === last && j === 0))) square(x, y, 2, [1]); }));
    const remainder = (number, by, count) => { let left = number; for (let n = 0; n < count; n++) left = (left << 1) ^ ((left >>> (count - 1)) * by); return left; };
    const form = ((8 << 10) | remainder(8, 0x537, 10)) ^ 0x5412;  // level L is 01, mask 000
    for (let at = 0; at <= 5; at++) set(8, at, bit(form, at));
    set(8, 7, bit(form, 6)); set(8, 8, bit(form, 7)); set(7, 8, bit(form, 8));
    for (let at = 9; at < 15; at++) set(14 - at, 8, bit(form, at));
    for (let at = 0; at < 8; at++) set(size - 1 - at, 8, bit(form, at));
    for (let at = 8; at < 15; at++) set(8, size - 15 + at, bit(form, at));
    set(8, size - 8, true);
    if (version >= 7) {
      const about = (version << 12) | remainder(version, 0x1f25, 12);
      for (let at = 0; at < 18; at++) { const far = size - 11 + at % 3, near = Math.floor(at / 3); set(far, near, bit(about, at)); set(near, far, bit(about, at)); }
    }
    let next = 0;
    for (let right = size - 1; right >= 1; right -= 2) {
      if (right === 6) right = 5;
      for (let step = 0; step < size; step++) for (let side = 0; side < 2; side++) {
        const x = right - side, y = ((right + 1) & 2) === 0 ? size - 1 - step : step;
        if (fixed[y][x]) continue;
        const on = next < stream.length * 8 && bit(stream[next >>> 3], 7 - (next & 7));
        next += 1;
        dark[y][x] = on !== ((x + y) % 2 === 0);
      }
    }
    return dark;
  }
  // Returns rows of true (dark) and false, or null where the text is too long for a phone's screen.
  function qrModules(text) {
    const bytes = Array.from(unescape(encodeURIComponent(text)), (sign) => sign.charCodeAt(0));
    for (let version = 1; version <= VERSION_MAX; version++) if (head(version) + 8 * bytes.length <= 8 * room(version)) return drawn(words(bytes, version), version);
    return null;
  }
  // Draws it into a canvas with its quiet zone of four modules, always dark on light.
  function qrDraw(canvas, text) {
    const rows = qrModules(text);
    if (!rows) return false;
    const scale = Math.max(2, Math.floor(360 / (rows.length + 8))), ink = canvas.getContext("2d");
    canvas.width = canvas.height = scale * (rows.length + 8);
    ink.fillStyle = "#fff";
    ink.fillRect(0, 0, canvas.width, canvas.height);
    ink.fillStyle = "#000";
    rows.forEach((row, y) => row.forEach((on, x) => { if (on) ink.fillRect(scale * (x + 4), scale * (y + 4), scale, scale); }));
    return true;
  }
  root.qrModules = qrModules;
  root.qrDraw = qrDraw;
})(typeof window === "undefined" ? globalThis : window);
