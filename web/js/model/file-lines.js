// The lines of a file that have faults, each with the faults found there.

/**
 * Faults without a line come first, under number 0.
 * @param {string} text @param {Api.CheckFault[]} faults
 * @returns {{number: number, text: string, faults: Api.CheckFault[]}[]}
 */
export function numbered(text, faults) {
  const lines = text.split("\n");
  const numbers = [...new Set(faults.map(fault => fault.line || 0))].sort((a, b) => a - b);
  return numbers.map(number => ({ number, text: lines[number - 1] || "", faults: faults.filter(fault => (fault.line || 0) === number) }));
}
