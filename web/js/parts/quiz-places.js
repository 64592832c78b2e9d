// The questions of a set by number, each with how it stands: to go to one of them.
import { html } from "../lib/html.js";

/** How a question stands, in a word and a sign: marked ones are right or not, others answered or open. @param {Api.QuizPlace} place @param {boolean} answered @returns {[string, string]} */
function standing({ told, replied }, answered) {
  if (!told) return answered ? ["answered", "●"] : ["open", ""];
  if (told.right) return ["right", "✓"];
  return [!replied ? "not answered" : told.points > 0 ? "partly right" : "not right", "✗"];
}

/** @param {{places: Api.QuizPlace[], now?: number, answered?: (place: Api.QuizPlace) => boolean, onPlace: (place: number) => void}} props now: the one on the page */
export const Places = ({ places, now, answered = one => one.replied, onPlace }) => html`<nav class="places" aria-label="Questions">${places.map(one => {
  const [word, sign] = standing(one, answered(one));
  return html`<button type="button" class="quiet" key=${one.place} aria-current=${one.place === now ? "step" : undefined} aria-label=${`Question ${one.place}, ${word}`}
    onClick=${() => onPlace(one.place)}>${one.place}${sign && html`<span aria-hidden="true">${sign}</span>`}</button>`;
})}</nav>`;
