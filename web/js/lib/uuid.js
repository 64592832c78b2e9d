// crypto.randomUUID exists only on secure origins; getRandomValues exists everywhere.

/** A random identifier (RFC 9562, version 4). @returns {string} */
export function uuid() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  return inWriting(bytes);
}

/** An identifier that sorts by the time it was made at (RFC 9562, version 7): what this device names things by before the server knows them.
 * @param {number} [now] ms since 1970 @returns {string} */
export function uuid7(now = Date.now()) {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  for (let i = 0; i < 6; i++) bytes[i] = Math.floor(now / 2 ** (8 * (5 - i))) & 0xff;
  bytes[6] = (bytes[6] & 0x0f) | 0x70;
  return inWriting(bytes);
}

/** @param {Uint8Array} bytes */
function inWriting(bytes) {
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = Array.from(bytes, byte => byte.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}
