// A programme's settings as they are written into a form.

/** The months in a list that somebody types; what is no number makes the list empty, which the server then asks for. @param {string} text @returns {number[]} */
export function monthsIn(text) {
  const months = text.split(/[\s,;]+/).filter(Boolean).map(Number);
  return months.every(month => Number.isInteger(month)) ? months : [];
}

/** A share as a whole percentage. @param {number} share */
export const sharePercent = share => Math.round(share * 100);

/** The settings as sent: names without spaces at their ends. @param {Api.Settings} settings @returns {Api.Settings} */
export const settingsToSend = settings => ({ ...settings, sites: settings.sites.map(site => site.trim()) });
