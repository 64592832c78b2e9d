// Finds things on a page the way a person or a screen reader does: by visible text, role and accessible name.
const words = text => (text || "").replace(/\s+/g, " ").trim();
const shown = element => element.checkVisibility({ opacityProperty: true, visibilityProperty: true }) && element.getClientRects().length > 0;
const nameOf = element => {
  const labelled = element.getAttribute("aria-labelledby");
  if (labelled) return words(labelled.split(" ").map(id => document.getElementById(id)?.textContent).join(" "));
  if (element.getAttribute("aria-label")) return words(element.getAttribute("aria-label"));
  if (element.labels?.length) return words(element.labels[0].textContent);
  return words(element.textContent);
};
const seeText = text => words(document.body.innerText).toLowerCase().includes(words(text).toLowerCase()) ? "yes" : "";
const placeOf = name => pointAt(name, text => text === name) || pointAt(name, text => text.startsWith(name)) || pointAt(name, text => text.includes(name));
const pointAt = (name, fits) => {
  const all = [...document.querySelectorAll("button, a[href], summary, [role=button], [role=tab], input[type=radio], input[type=checkbox]")];
  for (const element of all) {
    if (!fits(nameOf(element)) || element.disabled) continue;
    const target = element.matches("input") && element.labels?.length ? element.labels[0] : element;
    if (!shown(target)) continue;
    target.scrollIntoView({ block: "center", behavior: "instant" });
    const box = target.getClientRects()[0];
    const x = box.left + box.width / 2, y = box.top + box.height / 2;
    const hit = document.elementFromPoint(x, y);
    if (hit && (target.contains(hit) || hit.contains(target))) return JSON.stringify({ X: x, Y: y });
  }
  return "";
};
const fieldOf = label => [...document.querySelectorAll("input, textarea, select")].find(f => nameOf(f) === label && !f.disabled && shown(f));
const focusField = label => {
  const field = fieldOf(label);
  if (!field) return "";
  field.scrollIntoView({ block: "center", behavior: "instant" });
  field.focus();
  field.select?.();
  return "yes";
};
const settled = () => document.querySelector("[aria-busy=true]") || [...document.querySelectorAll("[role=status]")].some(s => s.classList.contains("state")) ? "" : "yes";
const setField = (label, value) => {
  const field = fieldOf(label);
  if (!field) return "";
  field.value = value;
  field.dispatchEvent(new Event("input", { bubbles: true }));
  field.dispatchEvent(new Event("change", { bubbles: true }));
  return "yes";
};
const focusedName = () => document.activeElement && document.activeElement !== document.body ? nameOf(document.activeElement) || "(no name)" : "(nothing)";
const chooseOption = (label, text) => {
  const field = fieldOf(label);
  const option = field && [...field.options].find(o => words(o.textContent) === text || o.value === text);
  if (!option) return "";
  field.value = option.value;
  field.dispatchEvent(new Event("input", { bubbles: true }));
  field.dispatchEvent(new Event("change", { bubbles: true }));
  return "yes";
};
