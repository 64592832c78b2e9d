// The case key: a keyed hash (HMAC-SHA-256, RFC 2104) of a local record number. The key is made here and never leaves the browser, so the server,
// which stores the hash only, cannot try numbers until one fits.

/** Letters and digits that are not taken for one another: no I, L, O, U. */
const digits = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
const keyBytes = 32;

/** Browsers hash only on secure pages: https, or this machine itself. */
export const canHash = () => Boolean(globalThis.crypto?.subtle);

/** @param {Uint8Array<ArrayBuffer>} raw @returns {Promise<CryptoKey>} that cannot be read out again */
export const importKey = raw => crypto.subtle.importKey("raw", raw, { name: "HMAC", hash: "SHA-256" }, false, ["sign"]);

/** @param {CryptoKey} key @param {Uint8Array<ArrayBuffer>} message @returns {Promise<string>} 64 hexadecimal digits */
export async function hmac(key, message) {
  return Array.from(new Uint8Array(await crypto.subtle.sign("HMAC", key, message)), byte => byte.toString(16).padStart(2, "0")).join("");
}

/** A record number as it counts: capitals, without spaces, dots, dashes and strokes, so that ways of writing do not matter. @param {string} number */
export const plainNumber = number => number.normalize("NFKC").toUpperCase().replace(/[\s./\\\u2010-\u2015-]/g, "");

/** The case key of a record number in a programme: the same number in another programme gives another one.
 * @param {CryptoKey} key @param {string} programme @param {string} number */
export const caseKey = (key, programme, number) => hmac(key, utf8(`${programme}\n${plainNumber(number)}`));

/** A new key, as the text in which it is kept safe. @returns {Promise<string>} */
export const newKeyText = () => keyText(crypto.getRandomValues(new Uint8Array(keyBytes)));

/** A key as groups of four, the last of which checks the others. @param {Uint8Array<ArrayBuffer>} raw */
export async function keyText(raw) {
  const text = encoded(raw) + await check(raw);
  return (text.match(/.{1,4}/g) || []).join(" ");
}

/** The key a text holds, or null when it is mistyped: a wrong letter does not go unnoticed. @param {string} text @returns {Promise<Uint8Array<ArrayBuffer> | null>} */
export async function readKeyText(text) {
  const typed = text.toUpperCase().replace(/[\s-]/g, "").replaceAll("O", "0").replace(/[IL]/g, "1");
  const raw = decoded(typed.slice(0, -4));
  return raw && raw.length === keyBytes && typed === encoded(raw) + await check(raw) ? raw : null;
}

/** The last group of a key's text: by it a person sees whether two devices have the same key. @param {Uint8Array<ArrayBuffer>} raw */
export async function check(raw) {
  return encoded(new Uint8Array(await crypto.subtle.digest("SHA-256", raw))).slice(0, 4);
}

/** @param {string} text */
const utf8 = text => new Uint8Array(new TextEncoder().encode(text));

/** Five bits a digit, the last one filled up with zeros. @param {Uint8Array} raw */
function encoded(raw) {
  let text = "", bits = 0, held = 0;
  for (const byte of raw) {
    held = (held << 8) | byte;
    for (bits += 8; bits >= 5; bits -= 5) text += digits[(held >> (bits - 5)) & 31];
    held &= (1 << bits) - 1;
  }
  return bits > 0 ? text + digits[(held << (5 - bits)) & 31] : text;
}

/** @param {string} text @returns {Uint8Array<ArrayBuffer> | null} */
function decoded(text) {
  const raw = [];
  let bits = 0, held = 0;
  for (const letter of text) {
    const value = digits.indexOf(letter);
    if (value < 0) return null;
    held = (held << 5) | value;
    bits += 5;
    if (bits >= 8) { raw.push((held >> (bits - 8)) & 255); bits -= 8; }
    held &= (1 << bits) - 1;
  }
  return new Uint8Array(raw);
}
