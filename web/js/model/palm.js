// Which pointers draw. With a pen in hand the palm rests on the screen: its touches are not meant.

/** How long after the pen was last near the screen touches are still those of the hand that holds it, in ms. Common practice, no source. */
const handMS = 700;

/** A touch wider than this is no fingertip, in CSS px (about 16 mm). Common practice, no source. */
const fingertip = 60;

/** @typedef {{pointerType: string, timeStamp: number, button: number, isPrimary: boolean, width: number, height: number}} PointerFacts */

export class Palm {
  #penAt = -Infinity;

  /** Notes a pointer that moves or presses: a pen that hovers counts too. @param {{pointerType: string, timeStamp: number}} event */
  sees({ pointerType, timeStamp }) { if (pointerType === "pen") this.#penAt = timeStamp; }

  /** Whether a pointer that presses draws: the main button, pen tip or first finger, and no palm. Pressure does not matter. @param {PointerFacts} event */
  draws(event) {
    this.sees(event);
    if (event.button !== 0 || !event.isPrimary) return false;
    if (event.pointerType !== "touch") return true;
    return event.timeStamp - this.#penAt > handMS && Math.max(event.width || 0, event.height || 0) <= fingertip;
  }
}
