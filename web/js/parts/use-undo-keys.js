// Undo and redo with the keyboard.
import { useEffect } from "preact/hooks";

/** Ctrl+Z and Ctrl+Shift+Z (or Y) outside of text fields, which have their own. @param {() => void} undo @param {() => void} redo */
export function useUndoKeys(undo, redo) {
  useEffect(() => {
    const onKey = (/** @type {KeyboardEvent} */ event) => {
      const typing = event.target instanceof Element && event.target.matches("textarea, input:not([type=checkbox], [type=radio])");
      if (typing || !(event.ctrlKey || event.metaKey)) return;
      const key = event.key.toLowerCase();
      if (key !== "z" && key !== "y") return;
      event.preventDefault();
      if (key === "y" || event.shiftKey) redo();
      else undo();
    };
    addEventListener("keydown", onKey);
    return () => removeEventListener("keydown", onKey);
  });
}
