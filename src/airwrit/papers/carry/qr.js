// QR codes of plain text: bytes, versions 1 to 20, levels L and M. Source: ISO/IEC 18004.
const qr = (() => {
  const PER_BLOCK = {
    L: [7, 10, 15, 20, 26, 18, 20, 24, 30, 18, 20, 24, 26, 30, 22, 24, 28, 30, 28, 28],
    M: [10, 16, 26, 18, 24, 16, 18, 22, 22, 26, 30, 22, 22, 24, 24, 28, 28, 26, 26, 26],
  };
  const BLOCKS = {
    L: [1, 1, 1, 1, 1, 2, 2, 2, 2, 4, 4, 4, 4, 4, 6, 6, 6, 6, 7, 8],
    M: [1, 1, 1, 2, 2, 4, 4, 4, 5, 5, 5, 8, 9, 9, 10, 10, 11, 13, 14, 16],
  };
  const LEVEL_BITS = { L: 1, M: 0 };
  const LAST = 20;
  const MASKS = [
    (r, c) => (r + c) % 2,
    (r) => r % 2,
    (r, c) => c % 3,
    (r, c) => (r + c) % 3,
    (r, c) => ((r >> 1) + Math.floor(c / 3)) % 2,
    (r, c) => ((r * c) % 2) + ((r * c) % 3),
    (r, c) => (((r * c) % 2) + ((r * c) % 3)) % 2,
    (r, c) => (((r + c) % 2) + ((r * c) % 3)) % 2,
  ];

  // Arithmetic in the field of 256 elements with the polynomial x^8 + x^4 + x^3 + x^2 + 1.
  const power = new Uint8Array(510);
  const log = new Uint8Array(256);
  for (let at = 0, x = 1; at < 255; at++) {
    power[at] = power[at + 255] = x;
    log[x] = at;
    x = (x << 1) ^ (x > 127 ? 0x11d : 0);
  }
  const times = (a, b) => (a && b ? power[log[a] + log[b]] : 0);

  // The `count` check bytes of `data`: what is left after division by (x - 1)(x - 2)(x - 4)...
  function checkBytes(data, count) {
    let generator = [1];
    for (let at = 0; at < count; at++) {
      const next = [...generator, 0];
      generator.forEach((value, place) => { next[place + 1] ^= times(value, power[at]); });
      generator = next;
    }
    const rest = [...data, ...new Array(count).fill(0)];
    for (let at = 0; at < data.length; at++) {
      const lead = rest[at];
      generator.forEach((value, place) => { rest[at + place] ^= times(value, lead); });
    }
    return rest.slice(data.length);
  }

  // All bytes a version can hold, data and check bytes together.
  function bytesOf(version) {
    let bits = (16 * version + 128) * version + 64;
    if (version > 1) {
      const lines = Math.floor(version / 7) + 2;
      bits -= (25 * lines - 10) * lines - 55;
      if (version > 6) bits -= 36;
    }
    return bits >> 3;
  }
  const dataBytes = (version, level) =>
    bytesOf(version) - PER_BLOCK[level][version - 1] * BLOCKS[level][version - 1];
  const room = (version, level) => dataBytes(version, level) - (version < 10 ? 2 : 3);

  // The text as the bytes of a code: head, text, filling.
  function filled(bytes, version, level) {
    const bits = [0, 1, 0, 0];
    const put = (value, count) => { for (let at = count - 1; at >= 0; at--) bits.push((value >> at) & 1); };
    put(bytes.length, version < 10 ? 8 : 16);
    bytes.forEach((byte) => put(byte, 8));
    const size = dataBytes(version, level);
    put(0, Math.min(4, size * 8 - bits.length));
    put(0, (8 - (bits.length % 8)) % 8);
    const made = [];
    for (let at = 0; at < bits.length; at += 8) made.push(bits.slice(at, at + 8).reduce((sum, bit) => sum * 2 + bit, 0));
    for (let pad = 0xec; made.length < size; pad ^= 0xec ^ 0x11) made.push(pad);
    return made;
  }

  // Data and check bytes in the order they are drawn: block by block, one byte of each at a time.
  function interleaved(data, version, level) {
    const count = BLOCKS[level][version - 1];
    const checks = PER_BLOCK[level][version - 1];
    const short = Math.floor(data.length / count);
    const longer = data.length % count;
    const blocks = [];
    for (let at = 0, from = 0; at < count; at++) {
      const size = short + (at >= count - longer ? 1 : 0);
      blocks.push(data.slice(from, from + size));
      from += size;
    }
    const made = [];
    for (let at = 0; at <= short; at++) blocks.forEach((block) => { if (at < block.length) made.push(block[at]); });
    const ends = blocks.map((block) => checkBytes(block, checks));
    for (let at = 0; at < checks; at++) ends.forEach((end) => made.push(end[at]));
    return made;
  }

  // The middles of the small squares along one side.
  function middles(version) {
    if (version === 1) return [];
    const count = Math.floor(version / 7) + 2;
    const step = 2 * Math.ceil((4 * version + 4) / (2 * count - 2));
    const places = [6];
    for (let at = count - 2; at >= 0; at--) places.push(4 * version + 10 - at * step);
    return places;
  }

  // `value` with the rest of its division by `divisor` behind it.
  function guarded(value, divisor, bits) {
    let rest = value << bits;
    for (let at = 31 - Math.clz32(rest); rest >> bits; at = 31 - Math.clz32(rest)) rest ^= divisor << (at - bits);
    return (value << bits) | rest;
  }

  class Grid {
    constructor(size) {
      this.size = size;
      this.dark = Array.from({ length: size }, () => new Uint8Array(size));
      this.fixed = Array.from({ length: size }, () => new Uint8Array(size));
    }
    set(row, column, dark) {
      if (row < 0 || column < 0 || row >= this.size || column >= this.size) return;
      this.dark[row][column] = dark ? 1 : 0;
      this.fixed[row][column] = 1;
    }
    square(row, column, reach, isDark) {
      for (let y = -reach; y <= reach; y++) {
        for (let x = -reach; x <= reach; x++) this.set(row + y, column + x, isDark(Math.max(Math.abs(x), Math.abs(y))));
      }
    }
  }

  function drawFrame(grid, version) {
    const end = grid.size - 1;
    for (let at = 0; at <= end; at++) {
      grid.set(6, at, at % 2 === 0);
      grid.set(at, 6, at % 2 === 0);
    }
    for (const [row, column] of [[3, 3], [3, end - 3], [end - 3, 3]]) {
      grid.square(row, column, 4, (ring) => ring !== 2 && ring !== 4);
    }
    const places = middles(version);
    const last = places.length - 1;
    places.forEach((row, i) => places.forEach((column, j) => {
      const corner = (i === 0 && j === 0) || (i === 0 && j === last) || (i === last && j === 0);
      if (!corner) grid.square(row, column, 2, (ring) => ring !== 1);
    }));
    if (version > 6) {
      const bits = guarded(version, 0x1f25, 12);
      for (let at = 0; at < 18; at++) {
        const bit = (bits >> at) & 1;
        grid.set(Math.floor(at / 3), grid.size - 11 + (at % 3), bit);
        grid.set(grid.size - 11 + (at % 3), Math.floor(at / 3), bit);
      }
    }
    drawFormat(grid, "L", 0);
  }

  function drawFormat(grid, level, mask) {
    const bits = guarded((LEVEL_BITS[level] << 3) | mask, 0x537, 10) ^ 0x5412;
    const end = grid.size - 1;
    for (let at = 0; at < 15; at++) {
      const bit = (bits >> at) & 1;
      if (at < 6) grid.set(at, 8, bit);
      else if (at < 8) grid.set(at + 1, 8, bit);
      else if (at === 8) grid.set(8, 7, bit);
      else grid.set(8, 14 - at, bit);
      if (at < 8) grid.set(8, end - at, bit);
      else grid.set(end - 14 + at, 8, bit);
    }
    grid.set(end - 7, 8, 1);
  }

  // The bytes in columns of two from the lower right corner, up and down by turns, past what is fixed.
  function drawBytes(grid, bytes) {
    let at = 0;
    let up = true;
    for (let right = grid.size - 1; right > 0; right -= 2) {
      if (right === 6) right = 5;
      for (let step = 0; step < grid.size; step++) {
        const row = up ? grid.size - 1 - step : step;
        for (const column of [right, right - 1]) {
          if (grid.fixed[row][column]) continue;
          if (at < bytes.length * 8) grid.dark[row][column] = (bytes[at >> 3] >> (7 - (at & 7))) & 1;
          at++;
        }
      }
      up = !up;
    }
  }

  function turn(grid, mask) {
    for (let row = 0; row < grid.size; row++) {
      for (let column = 0; column < grid.size; column++) {
        if (!grid.fixed[row][column] && MASKS[mask](row, column) === 0) grid.dark[row][column] ^= 1;
      }
    }
  }

  // How hard a grid is to read: runs, blocks, look-alikes of the large squares, more of one shade.
  function hardship(grid) {
    const size = grid.size;
    let sum = 0;
    let dark = 0;
    for (const at of [(a, b) => grid.dark[a][b], (a, b) => grid.dark[b][a]]) {
      for (let a = 0; a < size; a++) {
        let run = 0;
        let window = 0;
        for (let b = 0; b < size; b++) {
          run = b && at(a, b) === at(a, b - 1) ? run + 1 : 1;
          if (run === 5) sum += 3;
          else if (run > 5) sum += 1;
          window = ((window << 1) | at(a, b)) & 0x7ff;
          if (b >= 10 && (window === 0x5d0 || window === 0x05d)) sum += 40;
        }
      }
    }
    for (let row = 0; row < size; row++) {
      for (let column = 0; column < size; column++) {
        dark += grid.dark[row][column];
        if (row && column) {
          const four = grid.dark[row][column] + grid.dark[row - 1][column]
            + grid.dark[row][column - 1] + grid.dark[row - 1][column - 1];
          if (four % 4 === 0) sum += 3;
        }
      }
    }
    return sum + 10 * Math.floor(Math.abs((dark * 100) / (size * size) - 50) / 5);
  }

  // The rows of a code, each an array of 0 and 1; null when the text is too long. `wanted` may fix version and mask.
  function make(text, level = "L", wanted = {}) {
    const bytes = [...new TextEncoder().encode(text)];
    let version = wanted.version || 1;
    while (version <= LAST && room(version, level) < bytes.length) version++;
    if (version > LAST) return null;
    const drawn = interleaved(filled(bytes, version, level), version, level);
    let best = null;
    let least = Infinity;
    const masks = wanted.mask === undefined ? MASKS.keys() : [wanted.mask];
    for (const mask of masks) {
      const grid = new Grid(4 * version + 17);
      drawFrame(grid, version);
      drawBytes(grid, drawn);
      turn(grid, mask);
      drawFormat(grid, level, mask);
      const sum = hardship(grid);
      if (sum < least) [best, least] = [grid, sum];
    }
    return best.dark.map((row) => Array.from(row));
  }

  return { make, room, LAST };
})();
